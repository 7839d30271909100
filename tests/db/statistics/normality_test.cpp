#include "db/statistics/normality.hpp"

#include <algorithm>
#include <random>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

std::vector<double> gaussian(std::mt19937_64& source, std::size_t count) {
    std::normal_distribution<double> normal;
    std::vector<double> values(count);
    for (double& value : values) value = normal(source);
    return values;
}

// Simulation, seeded: of 4000 normal samples about 5 % are called significant at 5 % (Royston's fit
// is approximate: within 1.5 %).
TEST(ShapiroFrancia, RejectsNormalSamplesAsOftenAsStated) {
    std::mt19937_64 source(12);
    for (const std::size_t n : {10UL, 50UL, 500UL}) {
        int rejected = 0;
        for (int i = 0; i < 4000; ++i)
            rejected += shapiro_francia(gaussian(source, n))->significance < 0.05 ? 1 : 0;
        EXPECT_NEAR(rejected / 4000.0, 0.05, 0.015) << n;
    }
}

TEST(ShapiroFrancia, DoesNotChangeWithPlaceScaleOrOrder) {
    std::mt19937_64 source(13);
    auto values = gaussian(source, 40);
    const double here = shapiro_francia(values)->w;
    for (double& value : values) value = 7.0 - 3.0 * value;
    std::shuffle(values.begin(), values.end(), source);
    EXPECT_NEAR(shapiro_francia(values)->w, here, 1e-12);
}

// W' of a uniform distribution tends to the squared correlation of a uniform value with its normal
// score: 3 / pi = 0.9549 (closed form).
TEST(ShapiroFrancia, HasTheMisfitOfAUniformDistribution) {
    std::vector<double> values(5000);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = static_cast<double>(i);
    EXPECT_NEAR(shapiro_francia(values)->w, 0.95493, 5e-4);
    EXPECT_LT(shapiro_francia(values)->significance, 1e-10);
}

TEST(ShapiroFrancia, NamesEveryFlaw) {
    EXPECT_EQ(shapiro_francia(std::vector<double>{1, 2, 3, 4}).error(), Flaw::too_few_points);
    EXPECT_EQ(shapiro_francia(std::vector<double>(5001, 1.0)).error(), Flaw::out_of_domain);
    EXPECT_EQ(shapiro_francia(std::vector<double>{1, 2, 3, 4, NAN}).error(), Flaw::not_finite);
    EXPECT_EQ(shapiro_francia(std::vector<double>{1, 2, 3, 4, INFINITY}).error(), Flaw::not_finite);
    EXPECT_EQ(shapiro_francia(std::vector<double>{1, 2, 3, 4, 1e200}).error(), Flaw::not_finite);
    EXPECT_EQ(shapiro_francia(std::vector<double>(9, 1.0)).error(), Flaw::not_positive);
}

TEST(Subsample, IsEvenlySpacedAndTheSameEachTime) {
    std::vector<double> values(10);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = static_cast<double>(i);
    EXPECT_EQ(subsample(values, 5), (std::vector<double>{0, 2, 4, 6, 8}));
    EXPECT_EQ(subsample(values, 20), values);
}

}  // namespace
}  // namespace padtrim::statistics
