#include "db/quality/gauge_study.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using statistics::CrossedStudy;
using statistics::Flaw;

// A study with known deviations of parts, appraisers, interaction and repetitions.
struct Truth {
    double part = 3.0, appraiser = 1.0, interaction = 0.0, repeatability = 0.5;
};

CrossedStudy drawn_study(std::mt19937_64& source, const Truth& truth, std::size_t parts,
                         std::size_t appraisers, std::size_t trials) {
    std::normal_distribution<double> normal;
    CrossedStudy study{parts, appraisers, trials, {}};
    std::vector<double> who(appraisers);
    for (double& each : who) each = truth.appraiser * normal(source);
    for (std::size_t p = 0; p < parts; ++p) {
        const double part = truth.part * normal(source);
        for (std::size_t a = 0; a < appraisers; ++a) {
            const double cell = 100.0 + part + who[a] + truth.interaction * normal(source);
            for (std::size_t t = 0; t < trials; ++t)
                study.values.push_back(cell + truth.repeatability * normal(source));
        }
    }
    return study;
}

TEST(GaugeStudy, FindsTheComponentsOfALargeStudyBothWays) {
    std::mt19937_64 source(51);
    const auto study = drawn_study(source, {3.0, 1.0, 0.0, 0.5}, 20, 20, 3);
    const auto by_anova = *gauge_study_by_anova(study);
    const auto by_range = gauge_study_by_range(study)->study;
    for (const auto* found : {&by_anova, &by_range}) {
        EXPECT_NEAR(found->repeatability.deviation(), 0.5, 0.03);
        EXPECT_NEAR(found->appraiser.deviation(), 1.0, 0.45);
        EXPECT_NEAR(found->part.deviation(), 3.0, 1.2);
    }
}

TEST(GaugeStudy, KeepsAnInteractionThatIsThere) {
    std::mt19937_64 source(52);
    const auto study = drawn_study(source, {3.0, 0.5, 1.0, 0.3}, 15, 5, 3);
    const auto found = *gauge_study_by_anova(study);
    EXPECT_FALSE(found.interaction_pooled);
    EXPECT_NEAR(found.interaction.deviation(), 1.0, 0.3);
    EXPECT_NEAR(
        found.gauge.variance,
        found.repeatability.variance + found.appraiser.variance + found.interaction.variance,
        1e-12);
}

// Simulation, seeded: the intervals of all components hold the truth about as often as stated
// (95 %), or oftener. 2000 studies: 3 sigma of counting is 1.5 %; the method is an approximation.
TEST(GaugeStudyIntervals, HoldTheTruthAsOftenAsStated) {
    std::mt19937_64 source(53);
    const Truth truth{3.0, 1.0, 0.6, 0.5};
    const double gauge = 1.0 + 0.36 + 0.25;
    constexpr int studies = 2000;
    int held[6] = {};
    for (int i = 0; i < studies; ++i) {
        // Never pooled: the truth has an interaction.
        const auto found = *gauge_study_by_anova(drawn_study(source, truth, 10, 3, 3), 0.95, 1.0);
        const std::pair<const Component*, double> wanted[] = {
            {&found.repeatability, 0.25}, {&found.appraiser, 1.0}, {&found.interaction, 0.36},
            {&found.gauge, gauge},        {&found.part, 9.0},      {&found.total, 9.0 + gauge}};
        for (std::size_t c = 0; c < 6; ++c) {
            const auto& interval = *wanted[c].first->interval;
            const bool inside =
                interval.low <= wanted[c].second && wanted[c].second <= interval.high;
            held[c] += inside ? 1 : 0;
        }
    }
    for (const int each : held) {
        EXPECT_GT(each / static_cast<double>(studies), 0.935);
        EXPECT_LT(each / static_cast<double>(studies), 0.995);
    }
}

TEST(GaugeStudy, ShiftsScalesAndForgetsTheOrderOfTrials) {
    std::mt19937_64 source(54);
    const auto study = drawn_study(source, {}, 8, 3, 3);
    auto moved = study;
    for (double& value : moved.values) value = 4.0 * value - 1000.0;
    for (std::size_t cell = 0; cell < 24; ++cell)
        std::reverse(moved.values.begin() + static_cast<std::ptrdiff_t>(3 * cell),
                     moved.values.begin() + static_cast<std::ptrdiff_t>(3 * cell + 3));
    const auto here = *gauge_study_by_anova(study), there = *gauge_study_by_anova(moved);
    EXPECT_NEAR(there.gauge.variance / here.gauge.variance, 16.0, 1e-9);
    EXPECT_NEAR(there.categories, here.categories, 1e-9);
    EXPECT_NEAR(there.part.interval->high / here.part.interval->high, 16.0, 1e-9);
    EXPECT_NEAR(gauge_study_by_range(moved)->study.categories,
                gauge_study_by_range(study)->study.categories, 1e-9);
}

TEST(GaugeStudy, PointsAtCellsWithAWildTrial) {
    std::mt19937_64 source(55);
    auto study = drawn_study(source, {}, 10, 3, 3);
    EXPECT_LE(gauge_study_by_range(study)->ranges_beyond, 1U);
    study.values[4] += 10.0;
    EXPECT_GE(gauge_study_by_range(study)->ranges_beyond, 1U);
}

TEST(GaugeStudy, NamesEveryFlaw) {
    std::mt19937_64 source(56);
    const auto good = drawn_study(source, {}, 5, 3, 2);
    const auto flaw_both = [](const CrossedStudy& study) {
        const auto flaw = gauge_study_by_anova(study).error();
        EXPECT_EQ(gauge_study_by_range(study).error(), flaw);
        return flaw;
    };
    auto bad = good;
    bad.values[3] = NAN;
    EXPECT_EQ(flaw_both(bad), Flaw::not_finite);
    bad.values[3] = INFINITY;
    EXPECT_EQ(flaw_both(bad), Flaw::not_finite);
    bad.values.pop_back();
    EXPECT_EQ(flaw_both(bad), Flaw::sizes_differ);
    EXPECT_EQ(flaw_both({1, 3, 2, std::vector<double>(6, 1.0)}), Flaw::too_few_points);
    EXPECT_EQ(flaw_both({3, 3, 2, std::vector<double>(18, 1.0)}), Flaw::not_positive);
    EXPECT_EQ(gauge_study_by_anova(good, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(gauge_study_by_anova(good, 0.9, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(gauge_study_by_anova(good)->share_of_tolerance(0.0).error(), Flaw::out_of_domain);
    const std::vector<statistics::WeightedSquare> none;
    EXPECT_EQ(statistics::variance_interval(none, 0.95).error(), Flaw::too_few_points);
    const std::vector<statistics::WeightedSquare> negative{{1.0, -1.0, 3.0}};
    EXPECT_EQ(statistics::variance_interval(negative, 0.95).error(), Flaw::not_positive);
    const std::vector<statistics::WeightedSquare> wild{{1.0, NAN, 3.0}};
    EXPECT_EQ(statistics::variance_interval(wild, 0.95).error(), Flaw::not_finite);
}

}  // namespace
}  // namespace padtrim::quality
