#include "db/statistics/histogram.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

std::vector<double> histogram_sample(std::uint64_t seed, std::size_t size) {
    std::mt19937_64 random(seed);
    std::vector<double> values;
    std::normal_distribution<double> narrow(412.0, 4.0), about_zero(0.0, 3.0);
    std::uniform_real_distribution<double> exponent(-300.0, 300.0);
    for (std::size_t i = 0; i < size; ++i) {
        if (seed % 3 == 0) values.push_back(narrow(random));
        if (seed % 3 == 1) values.push_back(about_zero(random));
        if (seed % 3 == 2) values.push_back(std::pow(10.0, exponent(random)));
    }
    return values;
}

Histogram histogram_of(std::span<const double> values) {
    Histogram histogram;
    for (const double value : values) histogram.add(value);
    return histogram;
}

TEST(Histogram, FollowsFromTheValuesAloneHoweverTheyAreOrderedAndMerged) {
    for (std::uint64_t seed = 0; seed < 30; ++seed) {
        SCOPED_TRACE(seed);
        std::vector<double> values = histogram_sample(seed, 2000);
        const Histogram whole = histogram_of(values);
        EXPECT_LE(whole.bins().size(), Histogram::most_bins);
        EXPECT_EQ(whole.count(), values.size());
        std::mt19937_64 random(seed);
        std::shuffle(values.begin(), values.end(), random);
        EXPECT_EQ(histogram_of(values), whole);
        std::vector<Histogram> parts;
        for (std::size_t at = 0; at < values.size();) {
            const std::size_t size = std::min<std::size_t>(1 + random() % 400, values.size() - at);
            parts.push_back(histogram_of(std::span(values).subspan(at, size)));
            at += size;
        }
        std::shuffle(parts.begin(), parts.end(), random);
        Histogram merged;
        for (const Histogram& part : parts) merged.merge(part);
        EXPECT_EQ(merged, whole);
    }
}

TEST(Histogram, HoldsEachValueBetweenTheEdgesOfItsBinAndNearItsMiddle) {
    for (std::uint64_t seed = 0; seed < 9; ++seed) {
        const std::vector<double> values = histogram_sample(seed, 500);
        const Histogram histogram = histogram_of(values);
        for (const double value : values) {
            const auto bin = std::find_if(histogram.bins().begin(), histogram.bins().end(),
                                          [&](const auto& each) {
                                              const auto [low, high] = histogram.edges(each);
                                              return value >= 0.0 ? low <= value && value < high
                                                                  : low < value && value <= high;
                                          });
            ASSERT_NE(bin, histogram.bins().end()) << value;
            const auto [low, high] = histogram.edges(*bin);
            EXPECT_LE(std::abs(value - (low / 2 + high / 2)),
                      histogram.relative_error() * std::abs(value));
        }
    }
}

// Quantiles of a normal sample: mean + z s, NIST/SEMATECH e-Handbook 1.3.6.7.1 (z = 1.645 at 95 %).
TEST(Histogram, GivesQuantilesWithinItsError) {
    const std::vector<double> values = histogram_sample(3, 20'000);
    const Histogram histogram = histogram_of(values);
    EXPECT_NEAR(histogram.quantile(0.5).value(), 412.0, 0.3);
    EXPECT_NEAR(histogram.quantile(0.95).value(), 412.0 + 1.645 * 4.0, 0.3);
    std::vector<double> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    for (const double share : {0.00135, 0.01, 0.25, 0.75, 0.99, 0.99865}) {
        const double exact = sorted[static_cast<std::size_t>(share * 20'000.0)];
        EXPECT_NEAR(histogram.quantile(share).value(), exact,
                    2.5 * histogram.relative_error() * exact)
            << share;
    }
    EXPECT_EQ(histogram.quantile(1.5).error(), Flaw::out_of_domain);
    EXPECT_EQ(Histogram().quantile(0.5).error(), Flaw::too_few_points);
}

TEST(Histogram, TakesTheEndsOfTheNumbersAndLeavesOutWhatIsNone) {
    Histogram histogram;
    const double largest = std::numeric_limits<double>::max();
    const double smallest = std::numeric_limits<double>::denorm_min();
    for (const double value : {0.0, -0.0, largest, -largest, smallest, -smallest})
        histogram.add(value);
    histogram.add(std::numeric_limits<double>::infinity());
    histogram.add(std::numeric_limits<double>::quiet_NaN());
    EXPECT_EQ(histogram.count(), 6U);
    EXPECT_EQ(histogram.bins().size(), 5U);
    for (const Histogram::Bin& bin : histogram.bins()) {
        EXPECT_TRUE(std::isfinite(histogram.edges(bin).first));
        EXPECT_TRUE(std::isfinite(histogram.edges(bin).second));
    }
    for (unsigned i = 0; i <= Histogram::coarsest; ++i)
        EXPECT_TRUE(Histogram::from_parts(i, {{-1, 2}, {0, 1}, {1, 1}})) << i;
}

TEST(Histogram, IsRebuiltFromItsPartsAndFromNoOthers) {
    const Histogram histogram = histogram_of(histogram_sample(1, 3000));
    EXPECT_GT(histogram.joined(), 0U);
    const std::vector<Histogram::Bin> bins(histogram.bins().begin(), histogram.bins().end());
    EXPECT_EQ(Histogram::from_parts(histogram.joined(), bins).value(), histogram);
    EXPECT_FALSE(Histogram::from_parts(22, {}));
    EXPECT_FALSE(Histogram::from_parts(0, {{5, 1}, {5, 1}}));
    EXPECT_FALSE(Histogram::from_parts(0, {{5, 0}}));
    EXPECT_FALSE(Histogram::from_parts(0, {{0x7FF * 1024 + 1, 1}}));
    EXPECT_FALSE(Histogram::from_parts(0, std::vector<Histogram::Bin>(129, {1, 1})));
}

}  // namespace
}  // namespace padtrim::statistics
