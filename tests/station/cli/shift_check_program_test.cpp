// `padtrim shift-check` and what `padtrim run` makes of it, on the real bytes of a virtual bench,
// each in a process of its own.
#include <fstream>
#include <sstream>

#include <boost/json/object.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "tests/station/cli/spawned.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim {
namespace {

using test_support::Spawned;
using ::testing::HasSubstr;

class ShiftCheckProgram : public ::testing::Test {
  protected:
    using Words = std::vector<std::string>;
    // The shipped profile with one text for another.
    void profile_with(const std::string& before, const std::string& after) {
        std::stringstream text;
        text << std::ifstream(sources + "fixtures/profiles/hob-line-1-nest.toml").rdbuf();
        std::string changed = text.str();
        changed.replace(changed.find(before), before.size(), after);
        std::ofstream(profile) << changed;
    }
    void start_bench(const Words& more = {}) {
        bench.reset();
        Words words{program,   "bench", "--fixture", profile, "--unit",     unit,
                    "--ports", ports,   "--rate",    "60",    "--units",    "2",
                    "--seed",  "5",     "--defects", "none",  "--standards"};
        words.insert(words.end(), more.begin(), more.end());
        bench = std::make_unique<Spawned>(words);
        ASSERT_TRUE(bench->until("bench ready")) << bench->err();
    }
    int run(Words words) {
        words.insert(words.begin(), program);
        Spawned child(words);
        const int code = child.wait();
        said = child.out();
        complained = child.err();
        return code;
    }
    Words with_documents(const std::string& what, const Words& more = {}) const {
        Words words{what, recipe, "--fixture", profile, "--unit", unit, "--records", records};
        words.insert(words.end(), more.begin(), more.end());
        return words;
    }
    int check(const Words& more = {}) {
        Words words = with_documents("shift-check", {"--ports", ports, "--operator", "O"});
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
    int produce(const std::string& lot, const Words& more = {}) {
        Words words = with_documents("run", {"--ports", ports, "--lot", lot, "--units", "1"});
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
    void release() {
        ASSERT_EQ(run(with_documents("release", {"--who", "M", "--why", "tests"})), 0)
            << complained;
    }
    void exchange_units() { bench->signal(SIGRTMIN + 2); }

    const std::string sources = PADTRIM_SOURCE_DIR "/";
    const std::string recipe = sources + "recipes/examples/hob-panel-8.toml";
    const std::string unit = sources + "fixtures/units/hob-panel-8.toml";
    const std::string program = PADTRIM_BINARY_DIR "/padtrim";
    support::TemporaryFolder folder;
    const std::string profile = folder.file("line.toml"), ports = folder.file("ports"),
                      records = folder.file("lots.sqlite");
    std::unique_ptr<Spawned> bench;
    std::string said, complained;
};

TEST_F(ShiftCheckProgram, DecidesWhetherTheStationProduces) {
    profile_with("baseline = 5", "baseline = 3");
    start_bench();
    release();
    EXPECT_EQ(produce("L1"), 3);
    EXPECT_THAT(complained, HasSubstr("does not produce (needs check)"));
    EXPECT_THAT(complained, HasSubstr("There is no good shift check yet."));
    for (int i = 0; i < 3; ++i) ASSERT_EQ(check(), 0) << said << complained;
    EXPECT_THAT(said, HasSubstr("measurement 3 of 3"));
    ASSERT_EQ(check({"--json"}), 0) << said << complained;
    const std::string last = said.substr(said.rfind("{\"shift_check\""));
    const auto json = answers::parse_json(last.substr(0, last.find('\n')));
    ASSERT_TRUE(json);
    EXPECT_EQ(json->at("decision"), "ready");
    EXPECT_EQ(json->at("units").as_array().size(), 3U);

    exchange_units();
    EXPECT_EQ(produce("L1"), 0) << said << complained;
    EXPECT_THAT(said, HasSubstr("The last good shift check is"));

    start_bench({"--fault", "step_drift@1.2=2"});
    ASSERT_EQ(check(), 1) << said << complained;
    EXPECT_THAT(said, HasSubstr("BLOCKED"));
    EXPECT_THAT(said, HasSubstr("gain at key timer, channel 2"));
    EXPECT_EQ(produce("L2"), 3);
    EXPECT_THAT(complained, HasSubstr("blocks the station"));
    EXPECT_EQ(run({"shift-check", "--records", records}), 0);
    EXPECT_THAT(said, HasSubstr("blocked"));

    exchange_units();
    EXPECT_LE(produce("trial", {"--draft"}), 1) << complained;
    EXPECT_THAT(said, HasSubstr("DRAFT"));

    EXPECT_EQ(run({"shift-check", "--new-charts", "--fixture", profile, "--records", records,
                   "--operator", "M", "--why", "references replaced"}),
              0)
        << complained;
    EXPECT_THAT(said, HasSubstr("learn anew"));
}

TEST_F(ShiftCheckProgram, DecidesNothingWhenUnitsDoNotCome) {
    profile_with("baseline = 5", "baseline = 3");
    start_bench();
    exchange_units();
    EXPECT_EQ(check(), 3);
    EXPECT_THAT(complained, HasSubstr("Not measured in nest 1: HOB8-S0001"));
    EXPECT_EQ(run({"shift-check", "--records", records}), 0);
    EXPECT_THAT(said, HasSubstr("No shift check yet"));
}

TEST_F(ShiftCheckProgram, RefusesProductionOnReferencesThatAreDue) {
    profile_with("recalibration_due = 2036-09-14", "recalibration_due = 2026-09-15");
    start_bench();
    release();
    EXPECT_EQ(produce("L1"), 3);
    EXPECT_THAT(complained, HasSubstr("were due for recalibration on 2026-09-15"));
}

TEST_F(ShiftCheckProgram, AsksForAProfileThatNamesCheckStandards) {
    EXPECT_EQ(run({"shift-check", recipe, "--fixture",
                   sources + "fixtures/profiles/hob-bench-1-nest.toml", "--unit", unit, "--records",
                   records}),
              2);
    EXPECT_THAT(complained, HasSubstr("names no check standards"));
}

}  // namespace
}  // namespace padtrim
