#include "db/statistics/series.hpp"

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/anova.hpp"
#include "db/statistics/distributions.hpp"
#include "db/statistics/range.hpp"
#include "db/statistics/resolution.hpp"

namespace padtrim::statistics {
namespace {

std::vector<double> white(std::size_t n, std::uint64_t seed) {
    std::mt19937_64 engine(seed);
    std::normal_distribution<double> normal;
    std::vector<double> x(n);
    for (double& value : x) value = normal(engine);
    return x;
}

TEST(AllanDeviation, FallsAsWhiteNoiseAveragesAndRisesWithDrift) {
    auto x = white(40000, 1);
    for (const std::size_t m : {1U, 4U, 16U}) {
        EXPECT_NEAR(*allan_deviation(x, m) * std::sqrt(static_cast<double>(m)), 1.0, 0.05);
    }
    for (std::size_t i = 0; i < x.size(); ++i) x[i] += 0.02 * static_cast<double>(i);
    // A drift of d a reading gives d m / sqrt(2) (NIST SP 1065, table 5).
    EXPECT_NEAR(*allan_deviation(x, 1000), 0.02 * 1000.0 / std::sqrt(2.0), 0.1);
}

TEST(AllanDeviation, EqualsItsDefinitionOnFewReadings) {
    const std::vector<double> x{1.0, 4.0, 2.0, 8.0};
    EXPECT_NEAR(*allan_deviation(x, 1), std::sqrt((9.0 + 4.0 + 36.0) / 6.0), 1e-12);
    EXPECT_EQ(allan_deviation(x, 2).error(), Flaw::too_few_points);
    EXPECT_EQ(allan_deviation(x, 0).error(), Flaw::out_of_domain);
}

TEST(Grubbs, FindsTheStrangerAndFewInNoise) {
    // Critical value of 5 % (two-sided) for ten readings: 2.290 (ISO 5725-2, table 5).
    auto x = white(10, 2);
    EXPECT_NEAR(grubbs(x, 0.05)->critical, 2.290, 5e-4);
    x[6] += 12.0;
    EXPECT_TRUE(grubbs(x, 0.05)->significant());
    EXPECT_EQ(grubbs(x, 0.05)->index, 6U);
    int found = 0;
    for (std::uint64_t seed = 100; seed < 4100; ++seed) {
        found += grubbs(white(10, seed), 0.05)->significant() ? 1 : 0;
    }
    EXPECT_NEAR(found / 4000.0, 0.05, 0.015);
    EXPECT_EQ(grubbs(std::vector<double>(5, 1.0), 0.05).error(), Flaw::not_positive);
    EXPECT_EQ(grubbs(std::vector<double>{1, 2}, 0.05).error(), Flaw::too_few_points);
}

TEST(StrongestTone, FindsItsFrequencyAndAmplitude) {
    auto x = white(200, 3);
    for (std::size_t i = 0; i < x.size(); ++i) {
        x[i] += 3.0 * std::sin(2.0 * std::numbers::pi * 0.17 * static_cast<double>(i) + 0.4);
    }
    const Tone tone = *strongest_tone(x);
    EXPECT_NEAR(tone.frequency, 0.17, 1e-12);
    EXPECT_NEAR(tone.amplitude, 3.0, 0.35);
    EXPECT_LT(tone.significance, 1e-6);
}

TEST(StrongestTone, IsAsRareInNoiseAsItSays) {
    for (const std::size_t n : {16U, 64U, 400U}) {
        int found = 0;
        for (std::uint64_t seed = 0; seed < 1000; ++seed) {
            found += strongest_tone(white(n, 7000 + seed))->significance < 0.05 ? 1 : 0;
        }
        EXPECT_NEAR(found / 1000.0, 0.05, 0.03) << n;
    }
    EXPECT_EQ(strongest_tone(std::vector<double>(20, 1.0)).error(), Flaw::not_positive);
    EXPECT_EQ(strongest_tone(white(9, 1)).error(), Flaw::too_few_points);
}

TEST(RangeOfNormal, IsWhatNoiseShows) {
    double sum = 0.0;
    for (std::uint64_t seed = 0; seed < 2000; ++seed) {
        const auto x = white(40, seed);
        const auto [low, high] = std::minmax_element(x.begin(), x.end());
        sum += *high - *low;
    }
    EXPECT_NEAR(sum / 2000.0, range_of_normal(40)->mean, 0.06);
    EXPECT_EQ(range_of_normal(1).error(), Flaw::too_few_points);
}

TEST(RoundingOfMean, IsWhatRoundedReadingsShow) {
    std::mt19937_64 engine(4);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> place(0.0, 1.0);
    for (const double noise : {0.0, 0.15, 0.3, 0.6}) {
        double squares = 0.0;
        for (int t = 0; t < 400; ++t) {
            const double truth = place(engine);
            double sum = 0.0;
            for (int i = 0; i < 2000; ++i) sum += std::round(truth + noise * normal(engine));
            squares += std::pow(sum / 2000.0 - truth, 2.0);
        }
        const double expected = *rounding_of_mean(noise * noise) + (noise * noise + 0.05) / 2000.0;
        EXPECT_NEAR(std::sqrt(squares / 400.0), std::sqrt(expected), 0.02) << noise;
    }
    EXPECT_NEAR(*rounding_of_mean(0.0), 1.0 / 12.0, 1e-15);
    EXPECT_NEAR(*rounding_of_mean(1e-9), 1.0 / 12.0, 1e-4);
    // The two forms of the sum meet.
    EXPECT_NEAR(*rounding_of_mean(0.01 - 1e-13), *rounding_of_mean(0.01 + 1e-13), 1e-8);
    EXPECT_EQ(*rounding_of_mean(4.0), 0.0);
}

TEST(Anova, NamesWhatIsMissing) {
    const std::vector<std::vector<double>> one{{1, 2}}, empty{{1, 2}, {}}, flat{{1, 1}, {2, 2}};
    EXPECT_EQ(one_way_anova(one).error(), Flaw::too_few_points);
    EXPECT_EQ(one_way_anova(empty).error(), Flaw::too_few_points);
    EXPECT_EQ(one_way_anova(flat).error(), Flaw::not_positive);
}

TEST(StrongestTone, HearsWhatAlternates) {
    for (const std::size_t n : {16U, 64U, 400U}) {
        auto x = white(n, n);
        for (std::size_t i = 0; i < n; ++i) x[i] += i % 2 == 0 ? 3.0 : -3.0;
        const Tone tone = *strongest_tone(x);
        EXPECT_EQ(tone.frequency, 0.5);
        EXPECT_NEAR(tone.amplitude, 3.0, 0.8);
        EXPECT_GT(tone.share, 0.7);
        EXPECT_LT(tone.significance, 1e-4) << n;
    }
    const std::vector<double> pure{1, -1, 1, -1, 1, -1, 1, -1, 1, -1};
    EXPECT_NEAR(strongest_tone(pure)->amplitude, 1.0, 1e-12);
    EXPECT_NEAR(strongest_tone(pure)->share, 1.0, 1e-12);
}

TEST(Series, ReadingsTooLargeToSquareAreNamed) {
    std::vector<double> huge(12, 1e200);
    huge[3] = -1e200;
    EXPECT_EQ(grubbs(huge, 0.05).error(), Flaw::not_finite);
    EXPECT_EQ(allan_deviation(huge, 1).error(), Flaw::not_finite);
    EXPECT_EQ(strongest_tone(huge).error(), Flaw::not_finite);
}

// Means by quadrature of 1 - Phi^n - (1 - Phi)^n (Tippett 1925): 10000: 7.7032.
TEST(RangeOfNormal, GoesOnGrowingBeyondAThousand) {
    EXPECT_NEAR(range_of_normal(10000)->mean, 7.703232, 1e-5);
    double last = range_of_normal(1000)->mean;
    for (std::size_t n = 1500; n < 1000000; n = n * 3 / 2) {
        const double mean = range_of_normal(n)->mean;
        EXPECT_GT(mean, last) << n;
        last = mean;
        // Simpson's rule on the same integral.
        double sum = 0.0;
        constexpr int steps = 4000;
        for (int i = 0; i <= steps; ++i) {
            const double x = -10.0 + 20.0 * i / steps;
            const double power = static_cast<double>(n);
            const double f = 1.0 - std::exp(power * std::log1p(-normal_probability(-x))) -
                             std::exp(power * std::log1p(-normal_probability(x)));
            sum += f * (i == 0 || i == steps ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0));
        }
        EXPECT_NEAR(mean / (sum * 20.0 / steps / 3.0), 1.0, 0.002) << n;
    }
    EXPECT_EQ(range_of_normal(2000000).error(), Flaw::out_of_domain);
}

}  // namespace
}  // namespace padtrim::statistics
