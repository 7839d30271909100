#include "db/statistics/moments.hpp"

#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

std::vector<double> sample(std::size_t n, std::uint64_t seed) {
    std::mt19937_64 engine(seed);
    std::vector<double> values(n);
    for (double& v : values) v = 1e6 + static_cast<double>(engine() >> 40U) * 1e-4;
    return values;
}

TEST(Moments, MergedPartsEqualTheWhole) {
    const auto all = sample(1000, 1);
    const Moments whole = Moments::of(all);
    for (const std::size_t cut : {0U, 1U, 17U, 500U, 999U, 1000U}) {
        const auto middle = all.begin() + static_cast<std::ptrdiff_t>(cut);
        Moments left = Moments::of({all.begin(), middle});
        left.merge(Moments::of({middle, all.end()}));
        EXPECT_EQ(left.count(), 1000U);
        EXPECT_NEAR(*left.mean(), *whole.mean(), 1e-9);
        EXPECT_NEAR(*left.variance() / *whole.variance(), 1.0, 1e-12);
        EXPECT_EQ(*left.lowest(), *whole.lowest());
        EXPECT_EQ(*left.highest(), *whole.highest());
    }
}

TEST(Moments, StreamedValuesEqualTheBatch) {
    const auto all = sample(300, 2);
    Moments streamed;
    for (const double v : all) streamed.add(v);
    EXPECT_NEAR(*streamed.variance() / *Moments::of(all).variance(), 1.0, 1e-11);
}

TEST(Moments, ShiftAndScaleAsAlgebraSays) {
    const auto all = sample(100, 3);
    auto moved = all;
    for (double& v : moved) v = 5.0 - 3.0 * v;
    EXPECT_NEAR(*Moments::of(moved).mean(), 5.0 - 3.0 * *Moments::of(all).mean(), 1e-8);
    EXPECT_NEAR(*Moments::of(moved).variance() / *Moments::of(all).variance(), 9.0, 1e-9);
}

TEST(Moments, NameWhatIsMissing) {
    EXPECT_EQ(Moments().mean().error(), Flaw::too_few_points);
    EXPECT_EQ(Moments::of(std::vector<double>{1.0}).variance().error(), Flaw::too_few_points);
    Moments spoilt;
    spoilt.add(std::numeric_limits<double>::quiet_NaN());
    EXPECT_EQ(spoilt.mean().error(), Flaw::not_finite);
    EXPECT_THROW((void)Moments().mean().value(), std::logic_error);
}

TEST(Moments, ComeBackFromTheirParts) {
    const Moments m = Moments::of(sample(10, 4));
    EXPECT_EQ(Moments::from_parts(m.count(), *m.mean(), m.squares(), *m.lowest(), *m.highest()), m);
}

}  // namespace
}  // namespace padtrim::statistics
