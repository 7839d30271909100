// The memory of a product's filter: what it keeps, and what is known of that.
#include "station/metrology/filter_memory.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::SimulatedRun;

struct Seen {
    double mean = 0.0, spread = 0.0, stated = 0.0;  // of what a filter that keeps 0.8 keeps
};

// Over many units; the bench's filter rounds what it shows to whole counts.
Seen seen_in(double noise, int units) {
    language::Plan plan = *test_support::demo_plan();
    plan.map.frequencies.resize(1);
    Seen seen;
    double squares = 0.0;
    for (int unit = 0; unit < units; ++unit) {
        SimulatedRun run(plan, {.noise = noise, .filter = 0.8},
                         static_cast<std::uint64_t>(unit) + 1);
        run.gain_and_offset(8);
        const auto states =
            states_of(run.seen, "gain and offset", record::Reading::raw, run.channels());
        seen.mean += states[0].memory / units;
        squares += states[0].memory * states[0].memory / units;
        seen.stated += states[0].memory_standard * states[0].memory_standard / units;
    }
    seen.spread = std::sqrt(squares - seen.mean * seen.mean);
    seen.stated = std::sqrt(seen.stated);
    return seen;
}

// 600 units tell a standard deviation to 3 %; six of these are allowed.
TEST(FilterMemory, StatesHowWellItIsKnown) {
    for (const double noise : {2.0, 8.0}) {
        const Seen seen = seen_in(noise, 600);
        EXPECT_NEAR(seen.mean, 0.8, 0.25 * seen.spread) << noise;
        EXPECT_NEAR(seen.stated / seen.spread, 1.0, 0.18) << noise;
    }
}

}  // namespace
}  // namespace padtrim::metrology
