// Drift between the last two looks of a warm-up.
#include "station/metrology/warm_up.hpp"

#include <gtest/gtest.h>

#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::SimulatedRun;

// Whatever shook the unit before: a unit need not be still at first.
TEST(WarmUp, JudgesByTheLastTwoLooksAlone) {
    const language::Plan plan = *test_support::demo_plan();
    SimulatedRun run(plan, {.noise = 2.0}, 3);
    for (int look = 0; look < 3; ++look) run.state("warm up", {}, {}, 16);
    auto& first = run.seen.readings.front().scans;
    const auto calm = drift_of(run.seen, "warm up");
    for (std::size_t k = 0; k < first.size(); ++k)
        for (auto& count : first[k].counts) count += static_cast<std::int32_t>(76 - 10 * k);
    const auto shaken = drift_of(run.seen, "warm up");
    ASSERT_EQ(shaken.size(), plan.map.channels * plan.map.frequencies.size());
    for (std::size_t i = 0; i < shaken.size(); ++i) {
        EXPECT_EQ(shaken[i].value, calm[i].value);
        EXPECT_EQ(shaken[i].standard, calm[i].standard);
        EXPECT_EQ(shaken[i].degrees, calm[i].degrees);
        EXPECT_LT(shaken[i].standard, 2.0);  // of two means of 16 readings of 2 counts
        EXPECT_GT(shaken[i].degrees, fewest_degrees);
    }
    EXPECT_TRUE(is_warm(run.seen, "warm up", {{}, Counts(5.0)}));
}

}  // namespace
}  // namespace padtrim::metrology
