// A fixture that calls for help, shows it on its stack light, says which one it is and how worn it
// is, on the real bytes of a virtual bench.
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "tests/station/cli/line_program.hpp"

namespace padtrim {
namespace {

using ::testing::HasSubstr;

class UpkeepProgram : public test_support::LineProgram {
  protected:
    int try_out(const std::string& lot, Words more = {}) {
        more.emplace_back("--draft");
        return run_lot(lot, more);
    }
    int wear(const Words& more = {}) {
        Words words{"wear", profile, "--records", records};
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
    [[nodiscard]] answers::Json light() const {
        return answers::parse_json(whole_file(truth))->at("stack_light");
    }
};

TEST_F(UpkeepProgram, CallsForHelpAfterSameFailuresAndStaysRedWhenNobodyAnswers) {
    start_bench({"--defects", "1:dead_channel@2,2:dead_channel@2,3:dead_channel@2"});
    EXPECT_EQ(try_out("L1", {"--json"}), 3) << complained;
    EXPECT_THAT(said, HasSubstr("{\"event\":\"nest paused\",\"nest\":1,\"sentence\":\"It calls for "
                                "help: 3 units in a row failed on contact."));
    EXPECT_THAT(complained, HasSubstr("nobody let it go on"));
    EXPECT_EQ(light().at("red"), true);
    EXPECT_EQ(light().at("green"), false);
    EXPECT_EQ(light().at("buzzer"), false);
    EXPECT_EQ(try_out("L1", {"--units", "4"}), 1)
        << complained;  // somebody looked, and starts again
    EXPECT_EQ(light().at("red"), false);
}

TEST_F(UpkeepProgram, RefusesAnotherFixture) {
    start_bench({"--fixture-number", "3"});
    EXPECT_EQ(try_out("L1"), 3);
    EXPECT_THAT(complained, HasSubstr("says that it is number 3; \"hob line, one nest\" is number "
                                      "5. Nothing was moved."));
}

TEST_F(UpkeepProgram, TellsHowWornTheContactsAre) {
    start_bench({"--defects", "none"});
    ASSERT_EQ(try_out("L1", {"--units", "2"}), 0) << complained;
    ASSERT_EQ(wear({"--json", "--all"}), 0) << complained;
    const auto json = answers::parse_json(said);
    ASSERT_TRUE(json);
    std::int64_t pins = 0;
    for (const auto& contact : json->at("contacts").as_array())
        if (contact.at("coil") == 40) pins = contact.at("operations").as_int64();
    EXPECT_GE(pins, 2);
    EXPECT_EQ(wear({"--replaced", "40"}), 2);
    EXPECT_THAT(complained, HasSubstr("--who"));
    EXPECT_EQ(wear({"--replaced", "39", "--who", "M", "--why", "worn"}), 0) << complained;
    EXPECT_EQ(wear({"--replaced", "47", "--who", "M", "--why", "worn"}), 2);
    EXPECT_THAT(complained, HasSubstr("uses no coil 47"));
    EXPECT_EQ(wear({"--replaced", "40", "--who", "M", "--why", "pins worn", "--all"}), 0);
    EXPECT_THAT(said, HasSubstr("by M: pins worn"));
}

}  // namespace
}  // namespace padtrim
