#include "db/quality/drift.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using statistics::Flaw;

// Independent normal values, or alike neighbours with lag-one correlation r.
std::vector<double> drawn_series(std::mt19937_64& source, std::size_t count, double r = 0.0) {
    std::normal_distribution<double> normal;
    std::vector<double> values(count);
    double last = normal(source);
    for (double& value : values) {
        last = r * last + std::sqrt(1.0 - r * r) * normal(source);
        value = last;
    }
    return values;
}

TEST(Drift, FindsAStepWhereItIs) {
    std::mt19937_64 source(71);
    auto values = drawn_series(source, 100);
    for (std::size_t i = 60; i < 100; ++i) values[i] += 3.0;
    const auto found = *drift_of(values);
    EXPECT_EQ(found.kind, Drift::step);
    EXPECT_NEAR(static_cast<double>(found.step.at), 60.0, 2.0);
    EXPECT_NEAR(found.step.size(), 3.0, 4.0 * found.step.standard);
}

TEST(Drift, TellsATrendFromAStep) {
    std::mt19937_64 source(72);
    auto values = drawn_series(source, 100);
    for (std::size_t i = 0; i < 100; ++i) values[i] += 0.06 * static_cast<double>(i);
    const auto found = *drift_of(values);
    EXPECT_EQ(found.kind, Drift::trend);
    EXPECT_NEAR(found.trend.slope, 0.06, 4.0 * found.trend.standard);
}

TEST(Drift, AdmitsWhenItCannotTellWhich) {
    std::mt19937_64 source(73);
    int unsure = 0;
    for (int i = 0; i < 50; ++i) {
        auto values = drawn_series(source, 20);
        for (std::size_t k = 10; k < 20; ++k) values[k] += 0.25 * static_cast<double>(k) - 0.5;
        unsure += drift_of(values)->kind == Drift::step_or_trend ? 1 : 0;
    }
    EXPECT_GT(unsure, 10);
}

// Simulation, seeded: quiet series are called drift no oftener than the stated risk; 4000 series at
// 5 %: at most 200 + 41 (3 sigma of counting). Neighbours alike at 0.5 are allowed twice that, for
// r is taken from 200 values.
TEST(Drift, SeesNothingInQuietSeries) {
    std::mt19937_64 source(74);
    int alarms = 0, with_memory = 0;
    for (int i = 0; i < 4000; ++i) {
        const auto quiet = drift_of(drawn_series(source, 50), 0.05);
        alarms += quiet->kind != Drift::not_distinguishable ? 1 : 0;
    }
    for (int i = 0; i < 1000; ++i) {
        const auto wandering = drift_of(drawn_series(source, 200, 0.5), 0.05);
        with_memory += wandering->kind != Drift::not_distinguishable ? 1 : 0;
    }
    EXPECT_LT(alarms, 241);
    EXPECT_GT(alarms, 10);
    EXPECT_LT(with_memory, 100);
}

TEST(Drift, ShiftsScalesAndTurnsAround) {
    std::mt19937_64 source(75);
    auto values = drawn_series(source, 40);
    for (std::size_t i = 25; i < 40; ++i) values[i] += 2.0;
    auto moved = values;
    for (double& value : moved) value = 1e6 - 3.0 * value;
    const auto here = *drift_of(values), there = *drift_of(moved);
    EXPECT_EQ(here.step.at, there.step.at);
    EXPECT_NEAR(there.step.size(), -3.0 * here.step.size(), 1e-8);
    EXPECT_NEAR(there.trend.slope, -3.0 * here.trend.slope, 1e-9);
    EXPECT_NEAR(there.step.significance / here.step.significance, 1.0, 1e-6);
    std::reverse(moved.begin(), moved.end());
    EXPECT_EQ(drift_of(moved)->step.at, 40 - here.step.at);
}

TEST(Drift, NamesEveryFlaw) {
    std::vector<double> values{1, 2, 1, 2, 1, 2, 1, 2};
    EXPECT_EQ(drift_of(values)->kind, Drift::not_distinguishable);
    EXPECT_EQ(drift_of(values, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(drift_of({values.data(), 7}).error(), Flaw::too_few_points);
    EXPECT_EQ(drift_of(std::vector<double>(9, 1.0)).error(), Flaw::not_positive);
    for (const double bad : std::vector<double>{NAN, INFINITY, 1e200}) {
        values[3] = bad;
        EXPECT_EQ(step_of(values).error(), Flaw::not_finite);
        EXPECT_EQ(trend_of(values).error(), Flaw::not_finite);
    }
}

// All at one level, then all at another: nothing is left over, and the step is certain.
TEST(Drift, IsCertainOfAStepWithoutScatter) {
    const auto found = *drift_of(std::vector<double>{1, 1, 1, 1, 2, 2, 2, 2, 2, 2});
    EXPECT_EQ(found.kind, Drift::step);
    EXPECT_EQ(found.step.at, 4U);
}

}  // namespace
}  // namespace padtrim::quality
