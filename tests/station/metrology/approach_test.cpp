#include "station/metrology/approach.hpp"

#include <cmath>
#include <vector>

#include <gtest/gtest.h>

namespace padtrim::metrology {
namespace {

using statistics::Flaw;

std::vector<HeightReport> falling(double operate, double step) {
    std::vector<HeightReport> looks;
    for (double h = 20.0; h > -1e-9; h -= step) looks.push_back({Millimetre(h), h <= operate});
    return looks;
}

std::vector<HeightReport> rising(double release, double step) {
    std::vector<HeightReport> looks;
    for (double h = 0.0; h < 20.0 + 1e-9; h += step) looks.push_back({Millimetre(h), h < release});
    return looks;
}

TEST(OperatingDistance, IsFoundWithinItsStatedResolution) {
    for (const double step : {0.1, 0.5, 2.0}) {
        const auto d = *operating_distance(falling(12.3, step), rising(13.7, step));
        EXPECT_LE(std::abs(d.operate.value() - 12.3), 0.5 * step + 1e-9);
        EXPECT_LE(std::abs(d.release.value() - 13.7), 0.5 * step + 1e-9);
        EXPECT_NEAR(d.operate_standard.value(), step / std::sqrt(12.0), 1e-9);
        EXPECT_NEAR(d.travel_standard.value(), step / std::sqrt(6.0), 1e-9);
        EXPECT_TRUE(d.within_reach);
    }
}

TEST(OperatingDistance, SaysWhenItLiesBeyondTheTravel) {
    EXPECT_FALSE(operating_distance(falling(25.0, 1.0), rising(13.0, 1.0))->within_reach);
}

TEST(OperatingDistance, NamesEveryBadInput) {
    EXPECT_EQ(operating_distance({}, {}).error(), Flaw::too_few_points);
    EXPECT_EQ(operating_distance(falling(-1.0, 1.0), rising(5.0, 1.0)).error(),
              Flaw::no_convergence);
    EXPECT_EQ(operating_distance(rising(5.0, 1.0), rising(5.0, 1.0)).error(), Flaw::out_of_domain);
}

TEST(ResponseTime, IsNeverFinerThanTheLookBehindIt) {
    std::vector<TimedReport> reports;
    for (int i = 0; i < 20; ++i) reports.push_back({Millisecond(10.0 * i), i >= 9});
    const auto response = *response_time(Millisecond(52.0), reports);
    EXPECT_NEAR(response.time.value(), 85.0 - 52.0, 1e-12);
    EXPECT_NEAR(response.resolution.value(), 10.0, 1e-12);
    EXPECT_NEAR(response.standard.value(), 10.0 / std::sqrt(12.0), 1e-12);
    // Looks lie 10 ms apart, wherever the operating distance was reached.
    for (const double reached : {79.9, 80.0, 89.9, 90.0, 90.1}) {
        const auto near = *response_time(Millisecond(reached), reports);
        EXPECT_NEAR(near.resolution.value(), 10.0, 1e-12) << reached;
        EXPECT_NEAR(near.time.value(), 85.0 - reached, 1e-12) << reached;
    }
    EXPECT_EQ(response_time(Millisecond(NAN), reports).error(), Flaw::not_finite);
    EXPECT_EQ(response_time(Millisecond(0.0), {}).error(), Flaw::too_few_points);
    for (auto& r : reports) r.reported = false;
    EXPECT_EQ(response_time(Millisecond(0.0), reports).error(), Flaw::no_convergence);
}

TEST(Adaptation, WantsSlowChangesFollowedAndFastOnesReported) {
    const MillimetrePerSecond slow(0.1), fast(20.0);
    std::vector<Approach> moves{{MillimetrePerSecond(0.05), false},
                                {MillimetrePerSecond(5.0), false},
                                {MillimetrePerSecond(50.0), true}};
    auto result = *adaptation(moves, slow, fast);
    EXPECT_TRUE(result.slow_followed && result.fast_reported);
    EXPECT_FALSE(result.first_wrong);
    moves[0].reported = true;
    moves[2].reported = false;
    result = *adaptation(moves, slow, fast);
    EXPECT_FALSE(result.slow_followed || result.fast_reported);
    EXPECT_EQ(*result.first_wrong, 0U);
    EXPECT_EQ(adaptation(moves, fast, slow).error(), Flaw::empty_interval);
    EXPECT_EQ(adaptation({}, slow, fast).error(), Flaw::too_few_points);
}

TEST(PositionLinearity, FindsTheBendOfASlider) {
    std::vector<PositionReading> readings;
    for (int i = 0; i <= 10; ++i) {
        const double x = 6.0 * i;
        readings.push_back({x, 2.0 + 1.02 * x + (i == 5 ? 0.6 : 0.0)});
    }
    const auto found = *position_linearity(readings);
    EXPECT_EQ(found.where, 5U);
    // The stranger lifts the middle of the line by a 1/11 part of itself.
    EXPECT_NEAR(found.largest, 0.6 * 10.0 / 11.0, 1e-9);
    EXPECT_NEAR(found.non_linearity, 100.0 * found.largest / 60.0, 1e-9);
}

TEST(PositionLinearity, UnwrapsAWheel) {
    std::vector<PositionReading> readings;
    for (int i = 0; i < 12; ++i) {
        const double truth = 30.0 * i;
        readings.push_back({truth, std::fmod(truth + 355.0, 360.0)});
    }
    const auto found = *position_linearity(readings, 360.0);
    EXPECT_NEAR(found.largest, 0.0, 1e-9);
    EXPECT_NEAR(found.slope, 1.0, 1e-12);
    EXPECT_NEAR(found.offset, -5.0, 1e-9);
    EXPECT_EQ(position_linearity({}).error(), Flaw::too_few_points);
    const std::vector<PositionReading> still(4, {1.0, 2.0});
    EXPECT_EQ(position_linearity(still).error(), Flaw::equal_abscissae);
}

}  // namespace
}  // namespace padtrim::metrology
