#include "db/quality/measuring_system.hpp"

#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "db/quality/agreement.hpp"

namespace padtrim::quality {
namespace {

using statistics::Flaw;

std::vector<double> drawn_readings(std::size_t count, double mean, double deviation,
                                   std::uint64_t seed = 61) {
    std::mt19937_64 source(seed);
    std::normal_distribution<double> normal(mean, deviation);
    std::vector<double> values(count);
    for (double& value : values) value = normal(source);
    return values;
}

// By hand: readings 10 and 12 in turn, 5 of each: mean 11, s = sqrt(10/9).
TEST(Type1Study, DividesAsDefined) {
    std::vector<double> readings;
    for (int i = 0; i < 10; ++i) readings.push_back(i % 2 == 0 ? 10.0 : 12.0);
    const auto study = *type1_study(readings, {10.5, 60.0, 0.2, 6.0});
    const double s = std::sqrt(10.0 / 9.0);
    EXPECT_NEAR(study.bias, 0.5, 1e-12);
    EXPECT_NEAR(study.cg.value, 12.0 / (6.0 * s), 1e-12);
    EXPECT_NEAR(study.cgk.value, (6.0 - 0.5) / (3.0 * s), 1e-12);
    EXPECT_NEAR(type1_study(readings, {10.5, 60.0, 0.2, 4.0})->cgk.value, 5.5 / (2.0 * s), 1e-12);
}

TEST(Type1Study, SeesABiasThatIsThereAndNoneThatIsNot) {
    const auto readings = drawn_readings(50, 20.0, 0.1);
    EXPECT_LT(type1_study(readings, {20.2, 5.0})->bias_significance, 1e-6);
    const auto unbiased = *type1_study(readings, {20.0, 5.0});
    EXPECT_LT(unbiased.bias_low, 0.0);
    EXPECT_GT(unbiased.bias_high, 0.0);
}

TEST(MeasuringSystem, CountsTheLargerOfStepAndRepetitionOnce) {
    MeasuringSystem coarse{0.0, 0.1, 0.0, 1.2, 0.0, 0.0};
    EXPECT_NEAR(fit_of(coarse, 10.0)->standard, 1.2 / std::sqrt(12.0), 1e-12);
    coarse.resolution = 0.01;
    EXPECT_NEAR(fit_of(coarse, 10.0)->standard, 0.1, 1e-12);
}

// By hand: u = 0.3, U = 0.6, Q = 1.2 / T; smallest tolerance 1.2 / 0.15 = 8.
TEST(MeasuringSystem, TellsTheSmallestToleranceThatItMayJudge) {
    const MeasuringSystem system{0.2, 0.2, 0.1 * std::sqrt(3.0), 0.0, 0.0, 0.0};
    const auto fit = *fit_of(system, 10.0);
    EXPECT_NEAR(fit.standard, 0.3, 1e-12);
    EXPECT_NEAR(fit.q, 0.12, 1e-12);
    EXPECT_NEAR(fit.smallest_tolerance, 8.0, 1e-12);
    EXPECT_TRUE(fit.fit);
    EXPECT_FALSE(fit_of(system, 7.9)->fit);
}

TEST(MeasuringProcess, AddsWhatAppraisersAndPartsDo) {
    MeasuringProcess process;
    process.system.repeatability = 0.1;
    process.part_repeatability = 0.3;
    process.appraiser = 0.4;
    EXPECT_NEAR(fit_of(process, 10.0)->standard, 0.5, 1e-12);
    EXPECT_NEAR(fit_of(process, 10.0)->smallest_tolerance, 2.0 / 0.3, 1e-12);
}

TEST(MeasuringSystem, NamesEveryFlaw) {
    const auto readings = drawn_readings(20, 20.0, 0.1);
    EXPECT_EQ(type1_study({readings.data(), 9}, {20.0, 1.0}).error(), Flaw::too_few_points);
    EXPECT_EQ(type1_study(readings, {NAN, 1.0}).error(), Flaw::not_finite);
    EXPECT_EQ(type1_study(readings, {20.0, -1.0}).error(), Flaw::out_of_domain);
    EXPECT_EQ(type1_study(readings, {20.0, 1.0}, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(type1_study(std::vector<double>(20, 1.0), {20.0, 1.0}).error(), Flaw::not_positive);
    EXPECT_EQ(fit_of(MeasuringSystem{}, 1.0).error(), Flaw::not_positive);
    EXPECT_EQ(fit_of(MeasuringSystem{NAN, 1, 0, 0, 0, 0}, 1.0).error(), Flaw::not_finite);
    EXPECT_EQ(fit_of(MeasuringSystem{1, -1, 0, 0, 0, 0}, 1.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(fit_of(MeasuringSystem{1, 1, NAN, 0, 0, 0}, 1.0).error(), Flaw::not_finite);
    EXPECT_EQ(fit_of(MeasuringSystem{1, 1, 0, 0, 0, 0}, 0.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(fit_of(MeasuringSystem{1, 1, 0, 0, 0, 0}, NAN).error(), Flaw::not_finite);
}

TEST(Agreement, SaysAlikeOnlyWhenTheWholeIntervalIsInside) {
    std::vector<double> a = drawn_readings(30, 50.0, 5.0), b = a;
    const auto noise = drawn_readings(30, 0.0, 0.2, 62);
    for (std::size_t i = 0; i < a.size(); ++i) b[i] += noise[i];
    const auto found = *agreement_of(a, b);
    EXPECT_TRUE(found.alike_within(0.3));
    EXPECT_FALSE(found.alike_within(0.01));
    EXPECT_NEAR(found.deviation, 0.2, 0.06);
    EXPECT_GT(found.trend_significance, 0.001);
    const auto turned = *agreement_of(b, a);
    EXPECT_NEAR(turned.lower.value, -found.upper.value, 1e-12);
}

TEST(Agreement, SeesADifferenceThatGrowsWithTheSize) {
    std::vector<double> a = drawn_readings(30, 50.0, 5.0), b = a;
    const auto noise = drawn_readings(30, 0.0, 0.01, 62);
    for (std::size_t i = 0; i < a.size(); ++i) b[i] = 1.01 * a[i] + noise[i];
    EXPECT_LT(agreement_of(a, b)->trend_significance, 1e-6);
}

TEST(Agreement, NamesEveryFlaw) {
    const std::vector<double> a{1, 2, 3, 4}, b{1, 2.5, 3, 4};
    EXPECT_EQ(agreement_of(a, a).error(), Flaw::not_positive);
    EXPECT_EQ(agreement_of(a, {b.data(), 3}).error(), Flaw::sizes_differ);
    EXPECT_EQ(agreement_of({a.data(), 2}, {b.data(), 2}).error(), Flaw::too_few_points);
    EXPECT_EQ(agreement_of(a, std::vector<double>{1, 2, NAN, 4}).error(), Flaw::not_finite);
    EXPECT_EQ(agreement_of(a, b, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(bias_over_range(a, {b.data(), 3}).error(), Flaw::sizes_differ);
    EXPECT_EQ(bias_over_range(a, a).error(), Flaw::not_positive);
    EXPECT_EQ(bias_over_range(a, std::vector<double>{1, 2, NAN, 4}).error(), Flaw::not_finite);
    EXPECT_EQ(bias_over_range(std::vector<double>{1, 1, 1, 1}, b).error(), Flaw::equal_abscissae);
}

}  // namespace
}  // namespace padtrim::quality
