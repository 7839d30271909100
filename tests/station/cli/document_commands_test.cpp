// Commands about documents, and a product that talks in text lines, by the real program.
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "tests/station/cli/spawned.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim {
namespace {

using test_support::Spawned;

const std::string source_folder = PADTRIM_SOURCE_DIR "/";
const std::string the_program = std::string(PADTRIM_BINARY_DIR) + "/padtrim";

struct Ended {
    int code = 0;
    std::string out, err;
};

Ended after(std::vector<std::string> words) {
    words.insert(words.begin(), the_program);
    Spawned child(words);
    const int code = child.wait();
    return {code, child.out(), child.err()};
}

std::vector<std::string> hood_documents(const std::string& command) {
    return {command,     source_folder + "recipes/examples/hood-panel-4.toml",
            "--fixture", source_folder + "fixtures/profiles/hood-bench-1-nest.toml",
            "--unit",    source_folder + "fixtures/units/hood-panel-4.toml"};
}

TEST(PlanCommand, ShowsEachStepWithItsTimeAndTheFloor) {
    const auto said = after(hood_documents("plan"));
    EXPECT_EQ(said.code, 0) << said.err;
    for (const char* part : {"hood panel, complete A", "gain and offset", "one unit", "floor",
                             "noise (up to 2 times)", "units an hour"})
        EXPECT_NE(said.out.find(part), std::string::npos) << part << '\n' << said.out;
}

TEST(PlanCommand, GivesItsFiguresAsJson) {
    auto words = hood_documents("plan");
    words.emplace_back("--json");
    const auto json = answers::parse_json(after(words).out);
    ASSERT_TRUE(json);
    EXPECT_EQ(json->at("steps").as_array().size(), 9U);
    EXPECT_GT(json->at("expected_ms").to_number<double>(),
              json->at("floor_ms").to_number<double>());
}

TEST(PlanCommand, TellsWhatIsWrongWithTheDocuments) {
    auto words = hood_documents("plan");
    words[3] = source_folder + "fixtures/profiles/hob-bench-1-nest.toml";
    const auto said = after(words);
    EXPECT_EQ(said.code, 2);
    EXPECT_NE(said.err.find("is not the product of"), std::string::npos) << said.err;
}

TEST(SchemaCommand, PrintsASchemaOfEachDocument) {
    for (const char* document : {"recipe", "register-map", "fixture-profile"}) {
        const auto json = answers::parse_json(after({"schema", document}).out);
        ASSERT_TRUE(json) << document;
        EXPECT_EQ(json->at("$schema").as_string(), "https://json-schema.org/draft/2020-12/schema");
    }
    EXPECT_EQ(after({"schema", "lot"}).code, 2);
}

TEST(TextLines, CarryALotOverPseudoTerminals) {
    const support::TemporaryFolder folder;
    const auto documents = hood_documents("bench");
    Spawned bench({the_program, "bench", documents[2], documents[3], documents[4], documents[5],
                   "--ports", folder.file("ports"), "--rate", "40", "--units", "2", "--defects",
                   "none"});
    ASSERT_TRUE(bench.until("bench ready")) << bench.err();
    auto words = hood_documents("run");
    words.emplace_back("--draft");
    for (const auto& word : {std::string("--ports"), folder.file("ports"), std::string("--records"),
                             folder.file("lots.sqlite"), std::string("--lot"), std::string("L1")})
        words.push_back(word);
    const auto said = after(words);
    EXPECT_EQ(said.code, 0) << said.out << said.err;
    EXPECT_NE(said.out.find("loaded 2 = pass 2"), std::string::npos) << said.out;
}

}  // namespace
}  // namespace padtrim
