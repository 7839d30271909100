// `padtrim reference measure` on the real bytes of a virtual bench, each in a process of its own.
#include <filesystem>
#include <fstream>
#include <iterator>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "station/answers/json.hpp"
#include "tests/station/cli/spawned.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim {
namespace {

using test_support::Spawned;
using ::testing::HasSubstr;
using Arguments = std::vector<std::string>;

const std::string sources = PADTRIM_SOURCE_DIR "/fixtures/";
const std::string shipped_profile = sources + "profiles/lamp-line-1-nest-scpi.toml";

std::string whole(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

class ReferenceProgram : public ::testing::Test {
  protected:
    int run(const Arguments& more) {
        Arguments words{PADTRIM_BINARY_DIR "/padtrim",
                        "reference",
                        "measure",
                        "--fixture",
                        profile,
                        "--ports",
                        ports,
                        "--room",
                        "23.0",
                        "--certificate",
                        "step record 27-0104"};
        words.insert(words.end(), more.begin(), more.end());
        Spawned command(words);
        const int code = command.wait();
        said = command.out();
        complained = command.err();
        return code;
    }
    void start_bench() {
        bench = std::make_unique<Spawned>(
            Arguments{PADTRIM_BINARY_DIR "/padtrim", "bench", "--fixture", profile, "--unit",
                      sources + "units/lamp-panel-slider-wheel.toml", "--ports", ports, "--rate",
                      "40", "--seed", "3"});
        ASSERT_TRUE(bench->until("bench ready")) << bench->err();
    }

    support::TemporaryFolder folder;
    const std::string ports = folder.file("ports");
    const std::string fresh = folder.file("fresh.toml");
    std::string profile = shipped_profile;
    std::unique_ptr<Spawned> bench;
    std::string said, complained;
};

TEST_F(ReferenceProgram, WritesANewProfileAndSaysWhatChanged) {
    start_bench();
    const int code = run({"--out", fresh, "--repeats", "2", "--adapter-laid"});
    ASSERT_LE(code, 1) << complained;
    EXPECT_THAT(said, HasSubstr("nest 1, channel 9, R5"));
    EXPECT_THAT(said, HasSubstr("fixture's part"));
    EXPECT_THAT(said, HasSubstr("definition"));
    EXPECT_THAT(said, HasSubstr("Written to " + fresh));
    const auto before = language::read_fixture_profile(whole(shipped_profile), "before");
    const auto after = language::read_fixture_profile(whole(fresh), "after");
    ASSERT_TRUE(after.value) << document::text_of(after.diagnostics);
    EXPECT_EQ(after.value->equipment.certificate, "step record 27-0104");
    EXPECT_NE(after.value->equipment.steps, before.value->equipment.steps);
    EXPECT_EQ(after.value->nests, before.value->nests);
    EXPECT_THAT(whole(fresh), HasSubstr("# Held out of the fit: only verification uses it."));

    // A second time into the same file is refused; as JSON, in place of a copy, it is not.
    EXPECT_EQ(run({"--out", fresh, "--repeats", "2", "--adapter-laid"}), 2);
    EXPECT_THAT(complained, HasSubstr("is there already"));
    profile = fresh;
    ASSERT_LE(run({"--write", "--repeats", "2", "--adapter-laid", "--json", "--due", "2099-01-01"}),
              1)
        << complained;
    EXPECT_THAT(said, HasSubstr("\"steps\""));
    EXPECT_THAT(whole(fresh), HasSubstr("recalibration_due = 2099-01-01"));
}

// One step a tip and reference: 10 channels, 5 references, 2 repeats; the pins once a repeat at
// most.
TEST_F(ReferenceProgram, CountsTheWearOfContactsWhereRecordsAreGiven) {
    start_bench();
    const std::string records = folder.file("lots.sqlite");
    ASSERT_LE(run({"--out", fresh, "--repeats", "2", "--adapter-laid", "--records", records,
                   "--station", "line-3"}),
              1)
        << complained;
    Spawned wear({PADTRIM_BINARY_DIR "/padtrim", "wear", profile, "--records", records, "--station",
                  "line-3", "--all", "--json"});
    EXPECT_EQ(wear.wait(), 0) << wear.err();
    const auto answer = answers::parse_json(wear.out());
    ASSERT_TRUE(answer) << wear.out();
    std::uint64_t references = 0;
    for (const auto& contact : answer->at("contacts").as_array())
        if (contact.at("coil").to_number<int>() < 50)
            references += contact.at("operations").to_number<std::uint64_t>();
    EXPECT_EQ(references, 10U * 5U * 2U);
}

TEST_F(ReferenceProgram, MovesNothingUntilSomebodyHasLaidTheAdapter) {
    EXPECT_EQ(run({"--out", fresh}), 2);
    EXPECT_THAT(complained, HasSubstr("--adapter-laid"));
    EXPECT_EQ(run({"--adapter-laid"}), 2);
    EXPECT_THAT(complained, HasSubstr("--out FILE"));
    EXPECT_EQ(run({"--out", fresh, "--adapter-laid", "--due", "soon"}), 2);
    EXPECT_THAT(complained, HasSubstr("2027-03-31"));
    EXPECT_FALSE(std::filesystem::exists(fresh));
}

TEST_F(ReferenceProgram, NeedsAProfileWithAMeter) {
    profile = sources + "profiles/hob-bench-1-nest.toml";
    EXPECT_EQ(run({"--out", fresh, "--adapter-laid"}), 2);
    EXPECT_THAT(complained, HasSubstr("has no [meter]"));
}

TEST_F(ReferenceProgram, EndsWithAFaultWhenAPortIsMissing) {
    EXPECT_EQ(run({"--out", fresh, "--adapter-laid"}), 3);
    EXPECT_THAT(complained, HasSubstr("relays"));
    EXPECT_FALSE(std::filesystem::exists(fresh));
}

}  // namespace
}  // namespace padtrim
