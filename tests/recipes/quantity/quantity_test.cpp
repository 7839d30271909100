#include "recipes/quantity/quantity.hpp"

#include <type_traits>

#include <gtest/gtest.h>

namespace padtrim {
namespace {

template <class A, class B>
concept Addable = requires(A a, B b) {
    a + b;
};
template <class A, class B>
concept Comparable = requires(A a, B b) {
    a < b;
};

TEST(Quantity, AddsAndComparesOnlyItsOwnUnit) {
    static_assert(Addable<Picofarad, Picofarad>);
    static_assert(!Addable<Picofarad, Millimetre>);
    static_assert(!Addable<Picofarad, double>);
    static_assert(!Comparable<Counts, Picofarad>);
    static_assert(!std::is_convertible_v<double, Picofarad>);
    EXPECT_EQ((Picofarad(1.5) + Picofarad(0.5)).value(), 2.0);
    EXPECT_EQ((Picofarad(1.5) - Picofarad(2.0)).value(), -0.5);
    EXPECT_LT(Picofarad(1.0), Picofarad(1.5));
}

TEST(Quantity, ScalesByPlainNumbers) {
    EXPECT_EQ((2.0 * Millimetre(3.0)).value(), 6.0);
    EXPECT_EQ((Millimetre(3.0) * 2.0).value(), 6.0);
    EXPECT_EQ((Millimetre(3.0) / 2.0).value(), 1.5);
    EXPECT_EQ((-Millimetre(3.0)).value(), -3.0);
}

TEST(Quantity, AccumulatesInPlace) {
    Counts sum;
    sum += Counts(5.0);
    sum -= Counts(2.0);
    EXPECT_EQ(sum.value(), 3.0);
}

TEST(Quantity, DividesIntoARatioWithoutUnit) {
    static_assert(std::is_same_v<decltype(Counts(6.0) / Counts(3.0)), double>);
    EXPECT_EQ(Counts(6.0) / Counts(3.0), 2.0);
}

TEST(Quantity, FollowsTheMeasurementModelAcrossUnits) {
    const CountsPerPicofarad gain(400.0);
    EXPECT_EQ((gain * Picofarad(1.5)).value(), 600.0);
    EXPECT_EQ((Picofarad(1.5) * gain).value(), 600.0);
    EXPECT_EQ((Counts(600.0) / Picofarad(1.5)).value(), 400.0);
    EXPECT_EQ((Counts(600.0) / gain).value(), 1.5);
}

TEST(Quantity, KnowsItsSymbol) {
    EXPECT_EQ(Picofarad::symbol(), "pF");
    EXPECT_EQ(CountsPerPicofarad::symbol(), "counts/pF");
    EXPECT_EQ(Ratio::symbol(), "1");
}

TEST(Interval, IsLimitedWhenOneSideIsGiven) {
    EXPECT_FALSE(Interval<Counts>{}.limited());
    EXPECT_TRUE((Interval<Counts>{Counts(1.0), {}}).limited());
    EXPECT_TRUE((Interval<Counts>{{}, Counts(1.0)}).limited());
    EXPECT_EQ((Interval<Counts>{Counts(1.0), {}}), (Interval<Counts>{Counts(1.0), {}}));
    EXPECT_NE((Interval<Counts>{Counts(1.0), {}}), (Interval<Counts>{}));
}

}  // namespace
}  // namespace padtrim
