// A stored run in full, from simulated observations.
#include "station/answers/unit_details.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::answers {
namespace {

HistoryRun run_of(const language::PlanPtr& plan) {
    metrology_test::SimulatedRun simulated(*plan, {}, 8);
    simulated.measure();
    HistoryRun run;
    run.plan = plan;
    run.stored.observations = simulated.seen;
    return run;
}

TEST(UnitDetails, HoldEveryChannelOrTheOneAskedFor) {
    const auto plan = test_support::demo_plan();
    const HistoryRun run = run_of(plan);
    const std::size_t frequencies = plan->map.frequencies.size();
    const auto all = unit_details(run, {});
    EXPECT_EQ(all.lines.size(), plan->map.channels * frequencies);
    EXPECT_EQ(all.noise.size(), all.lines.size());
    EXPECT_EQ(all.crosstalk.size(), frequencies);
    EXPECT_TRUE(all.gaps.empty());
    EXPECT_FALSE(all.lines[0].trials);
    const auto one = unit_details(run, {2, 1000});
    ASSERT_EQ(one.lines.size(), frequencies);
    EXPECT_EQ(one.lines[0].channel, 2);
    EXPECT_TRUE(one.lines[0].trials);
}

TEST(UnitDetails, GiveSharesThatAddUpAndTheMonteCarloAsJson) {
    const Json json = to_json(unit_details(run_of(test_support::demo_plan()), {0, 1000}));
    const auto& gain = json.at("lines").at(0).at("gain");
    double shares = 0.0;
    for (const auto& term : gain.at("terms").as_array()) {
        shares += term.at("share_percent").to_number<double>();
    }
    EXPECT_NEAR(shares, 100.0, 1e-9);
    const auto& trials = json.at("lines").at(0).at("monte_carlo").at("gain");
    EXPECT_NEAR(trials.at("standard").to_number<double>() / gain.at("standard").to_number<double>(),
                1.0, 0.15);
    EXPECT_EQ(json.at("crosstalk").at(0).at("rows").as_array().size(), 8u);
    EXPECT_GT(json.at("noise").at(0).at("allan").as_array().size(), 3u);
}

TEST(UnitDetails, NameEachGapOnce) {
    const auto plan = test_support::demo_plan();
    HistoryRun run;
    EXPECT_EQ(unit_details(run, {}).gaps.size(), 1u);
    run.plan = plan;
    run.stored.observations = record::Observations{};
    const auto empty = unit_details(run, {0, 0});
    EXPECT_TRUE(empty.lines.empty() && empty.noise.empty() && empty.crosstalk.empty());
    EXPECT_EQ(empty.gaps.size(), 2u) << "one of the line, one of the noise, not one a frequency";
}

}  // namespace
}  // namespace padtrim::answers
