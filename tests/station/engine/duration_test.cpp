#include "station/engine/duration.hpp"

#include <gtest/gtest.h>

#include "tests/station/engine/rig.hpp"

namespace padtrim::engine {
namespace {

using testing::body_of;
using testing::Rig;

language::Plan only(language::StepBody body) {
    language::Plan plan = *test_support::demo_plan();
    plan.recipe.steps = {{"it", language::OnFailure::stop, std::move(body)}};
    return plan;
}
double floor_ms(const language::Plan& plan) {
    return estimate(plan).steps.front().time.floor.count();
}

TEST(Duration, OfAScanIsItsOwnTimePlusTheBytesOnTheWire) {
    const language::Plan plan = *test_support::demo_plan();
    const Duration scan = scan_duration(plan);
    EXPECT_DOUBLE_EQ(scan.floor.count(), 4.0);
    // Four transactions of 20 characters, of 11 bits at 115200 baud, and 2 + 2 + 4 + 32 data bytes.
    EXPECT_NEAR(scan.expected.count(), 4.0 + (4 * 20 + 40) * 11 * 1000.0 / 115200, 1e-9);
}

TEST(Duration, FloorOfNoiseIsOneSettlingAndItsScans) {
    EXPECT_DOUBLE_EQ(floor_ms(only(language::NoiseStep{.scans = 64, .noise = {}})), 5.0 + 64 * 4.0);
}

TEST(Duration, FloorOfGainAndOffsetCountsTheBracketingOpenStates) {
    language::GainOffsetStep step;
    step.references = {"R1", "R2", "R3", "R4"};
    step.scans = 16;
    language::Plan plan = only(step);
    EXPECT_DOUBLE_EQ(floor_ms(plan), 9 * (5.0 + 16 * 4.0));
    plan.fixture.relays.switching = language::Switching::one_channel;
    EXPECT_DOUBLE_EQ(floor_ms(plan), (2 * 4 * 8 + 1) * (5.0 + 16 * 4.0));
}

TEST(Duration, FloorOfTouchIsTheFingersWay) {
    language::TouchStep step;
    step.keys = {"key 1", "key 2"};
    step.scans = 8;
    const language::Plan plan = only(step);
    // 30 mm down at 60 mm/s and up at 250 mm/s and two settlings, at each key; 22 mm between them.
    const double key = 500.0 + 120.0 + 40.0 + 2 * 8 * 4.0;
    EXPECT_NEAR(floor_ms(plan), 5.0 + 2 * key + 88.0, 1e-9);
}

TEST(Duration, FloorOfThePowerCycleIsOffTimeAndBoot) {
    EXPECT_DOUBLE_EQ(floor_ms(only(language::PowerCycleStep{})), 500.0 + 60.0 + 5.0);
}

TEST(Duration, LeftShrinksToNothing) {
    const UnitDuration unit = estimate(*test_support::demo_plan());
    const std::size_t last = unit.steps.size();
    EXPECT_GT(unit.left(0, 0, 1), unit.left(1, 0, 1) - std::chrono::milliseconds(1));
    EXPECT_EQ(unit.left(last, 0, 0).count(), 0);
    EXPECT_EQ(unit.left(last - 1, 5, 5).count(), 0);
    EXPECT_GT(unit.left(last - 1, 0, 5).count(), 0);
    EXPECT_GE(unit.whole().expected, unit.whole().floor);
}

TEST(Duration, IsWhatAUnitTakesOnAStationThatOnlyWaitsForPhysics) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.run();
    const auto end_of = [&](const std::string& step) {
        double end = 0.0;
        for (const auto& readings : rig.last_run("U1")->unit->observations.readings)
            if (readings.step == step) end = double(readings.scans.back().at_us) / 1000.0;
        return end;
    };
    const double taken = end_of("gain and offset") - end_of("contacts");
    const double floor = estimate(*rig.plan).steps[2].time.floor.count();
    EXPECT_GE(taken, floor - 5.0);  // the references were open already
    EXPECT_LT(taken, 1.2 * floor);
}

}  // namespace
}  // namespace padtrim::engine
