// The measurements of a shift check on the virtual bench, in virtual time.
#include "station/engine/shift_run.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::engine::testing {
namespace {

using record::Verdict;
using ::testing::HasSubstr;

language::Plan watched_plan(const std::string& fixture = "hob-line-1-nest") {
    const std::string root = PADTRIM_SOURCE_DIR "/";
    auto loaded = language::load_plan({root + "recipes/examples/hob-panel-8.toml",
                                       root + "fixtures/units/hob-panel-8.toml",
                                       root + "fixtures/profiles/" + fixture + ".toml"});
    if (!loaded.plan) throw std::runtime_error(document::text_of(loaded.diagnostics));
    language::Plan plan = *loaded.plan;
    if (!plan.fixture.shift_check) {
        plan.fixture.shift_check.emplace();
        plan.fixture.shift_check->standards = {{"HOB8-S0001", {"gain"}, {}}};
        plan.fixture.shift_check->challenge = language::ChallengeUnit{"HOB8-X0001", {}};
    }
    return plan;
}

class ShiftCheckRun : public ::testing::Test {
  protected:
    void begin(language::Plan plan, bool ready = true) {
        bench::BenchOptions options;
        options.units = 3;
        options.standards_ready = ready;
        rig = std::make_unique<BenchRig>(std::make_shared<const language::Plan>(std::move(plan)),
                                         options);
    }
    ShiftOutcome check(const std::string& lot = "shift check 1") {
        LotOptions options;
        options.lot = lot;
        options.station = "S1";
        run = std::make_unique<ShiftRun>(rig->parts(), rig->plan, options, [this](const Event& e) {
            if (const auto* aside = std::get_if<UnitSetAside>(&e)) asides.push_back(aside->reason);
        });
        return rig->clock.run(run->run());
    }
    std::unique_ptr<BenchRig> rig;
    std::unique_ptr<ShiftRun> run;
    std::vector<std::string> asides;
};

TEST_F(ShiftCheckRun, MeasuresEveryUnitAndWritesToNone) {
    begin(watched_plan());
    const auto outcome = check();
    EXPECT_EQ(outcome.reason, "");
    ASSERT_EQ(outcome.measured.size(), 3U);
    EXPECT_EQ(outcome.measured[0].result.verdict, Verdict::pass);
    EXPECT_EQ(outcome.measured[2].serial, "HOB8-X0001");
    EXPECT_EQ(outcome.measured[2].result.verdict, Verdict::fail);
    for (const auto& standard : rig->bench.standards()) {
        EXPECT_EQ(standard->memory().trim_writes(), 0U);
        EXPECT_EQ(standard->memory().commits(), 0U);
    }
    for (const auto& stored : rig->journal.runs)
        EXPECT_EQ(stored.stage(), record::WriteStage::untouched);
    EXPECT_TRUE(rig->bench.mishaps().empty());
}

TEST_F(ShiftCheckRun, BeginsWithTheUnitThatLiesThereFromTheLastCheck) {
    begin(watched_plan());
    ASSERT_EQ(check().reason, "");
    const auto again = check("shift check 2");
    EXPECT_EQ(again.reason, "");
    ASSERT_EQ(again.measured.size(), 3U);
    EXPECT_EQ(again.measured[0].serial, "HOB8-X0001");
}

TEST_F(ShiftCheckRun, GoesThroughTheNestsOneAfterTheOther) {
    begin(watched_plan("hob-line-4-nests"));
    const auto outcome = check();
    EXPECT_EQ(outcome.reason, "");
    ASSERT_EQ(outcome.measured.size(), 8U);
    EXPECT_EQ(outcome.lots.size(), 4U);
    for (std::size_t i = 0; i < 8; ++i) EXPECT_EQ(outcome.measured[i].nest, i / 2 + 1);
    EXPECT_TRUE(rig->bench.mishaps().empty());
}

TEST_F(ShiftCheckRun, SaysWhichUnitsDidNotComeAndTakesNoneInTheirPlace) {
    begin(watched_plan(), false);
    const auto outcome = check();
    EXPECT_THAT(outcome.reason, HasSubstr("Not measured in nest 1: HOB8-S0001, HOB8-S0002"));
    EXPECT_TRUE(outcome.measured.empty());
    ASSERT_EQ(asides.size(), 3U);
    EXPECT_THAT(asides[0], HasSubstr("neither a check standard nor the challenge unit"));
    EXPECT_TRUE(rig->journal.runs.empty());
}

TEST_F(ShiftCheckRun, EndsWithAFaultOfTheFixture) {
    begin(watched_plan());
    rig->bench.set_guard(false);
    const auto outcome = check();
    EXPECT_TRUE(outcome.station_fault);
    EXPECT_THAT(outcome.reason, HasSubstr("guard door is open"));
}

TEST_F(ShiftCheckRun, LeavesCheckStandardsAloneInProduction) {
    begin(watched_plan());
    rig->options.units = 2;
    std::vector<std::string> reasons;
    rig->on_event = [&](const Event& event) {
        if (const auto* aside = std::get_if<UnitSetAside>(&event)) reasons.push_back(aside->reason);
        if (reasons.size() == 3) rig->lot->stop_loading();
    };
    static_cast<void>(rig->run());
    ASSERT_FALSE(reasons.empty());
    EXPECT_THAT(reasons[0], HasSubstr("watches this station"));
    EXPECT_TRUE(rig->journal.runs.empty());
    for (const auto& standard : rig->bench.standards())
        EXPECT_EQ(standard->memory().trim_writes(), 0U);
}

}  // namespace
}  // namespace padtrim::engine::testing
