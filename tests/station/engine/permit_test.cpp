// A lot under a deviation permit ends where the permit does.
#include <gtest/gtest.h>

#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::engine {
namespace {

bench::BenchOptions six_units() {
    bench::BenchOptions options;
    options.units = 6;
    return options;
}

TEST(PermittedLot, LoadsNoMoreUnitsThanThePermitHasLeft) {
    testing::BenchRig rig(test_support::demo_plan({.nests = 4}), six_units());
    rig.options.permitted_units = 3;
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault) << outcome.reason;
    EXPECT_EQ(outcome.count.loaded, 3U);
    EXPECT_EQ(outcome.count.pass, 3U);
    EXPECT_EQ(outcome.reason, "the permit's quantity is used up");
}

TEST(PermittedLot, CountsUnitsOfThisOpeningOnly) {
    testing::BenchRig rig(test_support::demo_plan(), six_units());
    rig.options.units = 2;
    ASSERT_EQ(rig.run().count.loaded, 2U);
    rig.options.units = 0;
    rig.options.permitted_units = 1;
    EXPECT_EQ(rig.run().count.loaded, 3U);
}

TEST(PermittedLot, LoadsNothingFromThePermitsEndOn) {
    testing::BenchRig rig(test_support::demo_plan(), six_units());
    rig.options.permitted_until = rig.wall_clock.time;
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault) << outcome.reason;
    EXPECT_EQ(outcome.count.loaded, 0U);
    EXPECT_EQ(outcome.reason, "the permit has ended");
    rig.options.permitted_until = rig.wall_clock.time + std::chrono::milliseconds(1);
    EXPECT_EQ(rig.run().count.loaded, 6U);
}

TEST(PermittedLot, SaysInTheJournalByWhatRightItRuns) {
    testing::BenchRig rig(test_support::demo_plan(), six_units());
    rig.options.units = 1;
    rig.options.permission = {record::PermissionKind::permit, 7};
    (void)rig.run();
    ASSERT_FALSE(rig.journal.lots.empty());
    EXPECT_EQ(rig.journal.lots.back().openings.back().permission, rig.options.permission);
}

}  // namespace
}  // namespace padtrim::engine
