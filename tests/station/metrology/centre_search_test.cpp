// The truth of each search is the shape that it is given; nothing here is of the bench.
#include "station/metrology/centre_search.hpp"

#include <cmath>
#include <functional>
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace padtrim::metrology {
namespace {

using testing::HasSubstr;
using Shape = std::function<double(double x, double y)>;

SearchWish around(double x, double y) {
    SearchWish wish;
    wish.start = {Millimetre(x), Millimetre(y)};
    wish.step = Millimetre(4.0);
    wish.resolution = Millimetre(0.5);
    wish.reach_x = wish.reach_y = Millimetre(20.0);
    wish.lowest = {Millimetre(0.0), Millimetre(0.0)};
    wish.highest = {Millimetre(300.0), Millimetre(200.0)};
    wish.least = 10.0;
    return wish;
}

CentreSearch searched(const SearchWish& wish, const Shape& shape) {
    CentreSearch search(wish);
    while (const auto spot = search.next()) {
        EXPECT_LE(std::abs((spot->x - wish.start.x).value()), wish.reach_x.value() + 1e-6);
        EXPECT_LE(std::abs((spot->y - wish.start.y).value()), wish.reach_y.value() + 1e-6);
        search.note(shape(spot->x.value(), spot->y.value()));
    }
    return search;
}

// A disc that slides off a straight edge, roughly: flat within, smooth at the sides.
double side(double from_middle, double half_width) {
    return 0.5 * (std::erf((from_middle + half_width) / 2.0) -
                  std::erf((from_middle - half_width) / 2.0));
}
Shape pad(double x, double y, double width, double height) {
    return [=](double at_x, double at_y) {
        return 400.0 * side(at_x - x, width / 2) * side(at_y - y, height / 2);
    };
}

TEST(CentreSearch, FindsTheMiddleOfAFlatKeyThatASingleLookCannotTell) {
    const auto search = searched(around(52.0, 68.5), pad(50.3, 70.0, 14.0, 14.0));
    ASSERT_EQ(search.problem(), "");
    EXPECT_NEAR(search.found().centre.x.value(), 50.3, 0.02);
    EXPECT_NEAR(search.found().centre.y.value(), 70.0, 0.02);
    EXPECT_NEAR(search.found().width_x.value(), 14.0, 0.1);
    EXPECT_NEAR(search.found().width_y.value(), 14.0, 0.1);
    EXPECT_NEAR(search.found().change, 400.0, 2.0);
    EXPECT_LE(search.found().looks, 45U);
}

TEST(CentreSearch, FindsTheMiddleFromOutsideTheKey) {
    const auto search = searched(around(57.5, 64.0), pad(50.0, 70.0, 14.0, 14.0));
    ASSERT_EQ(search.problem(), "");
    EXPECT_NEAR(search.found().centre.x.value(), 50.0, 0.05);
    EXPECT_NEAR(search.found().centre.y.value(), 70.0, 0.05);
}

TEST(CentreSearch, FindsTheTopOfABellToo) {
    const Shape bell = [](double x, double y) {
        return 350.0 * std::exp(-std::pow((x - 81.7) / 9, 2) - std::pow((y - 80.2) / 9, 2));
    };
    const auto search = searched(around(80.0, 80.0), bell);
    ASSERT_EQ(search.problem(), "");
    EXPECT_NEAR(search.found().centre.x.value(), 81.7, 0.05);
    EXPECT_NEAR(search.found().centre.y.value(), 80.2, 0.05);
}

// 3 counts of noise on 400: the slope at the edge is some 100 counts a millimetre.
TEST(CentreSearch, StandsNoiseOfAHundredthOfTheChange) {
    std::mt19937 random(7);
    std::normal_distribution<double> noise(0.0, 3.0);
    const Shape flat = pad(50.3, 70.0, 14.0, 14.0);
    double square = 0.0;
    constexpr int rounds = 200;
    for (int round = 0; round < rounds; ++round) {
        const auto search = searched(
            around(51.0, 69.0), [&](double x, double y) { return flat(x, y) + noise(random); });
        ASSERT_EQ(search.problem(), "");
        square += std::pow(search.found().centre.x.value() - 50.3, 2);
        EXPECT_LT(std::abs(search.found().repeat.value()), 0.3);
    }
    EXPECT_LT(std::sqrt(square / rounds), 0.05);
}

TEST(CentreSearch, SaysThatNothingIsFelt) {
    const auto search = searched(around(50.0, 70.0), [](double, double) { return 4.0; });
    EXPECT_THAT(search.problem(), HasSubstr("no touch is felt"));
    EXPECT_EQ(search.found().looks, 1U);
}

TEST(CentreSearch, GivesUpWhereTheCountsDoNotFall) {
    const auto search = searched(around(50.0, 70.0), [](double, double) { return 400.0; });
    EXPECT_THAT(search.problem(), HasSubstr("along X"));
    EXPECT_LE(search.found().looks, 12U);
}

TEST(CentreSearch, NeverLooksBeyondTheTravel) {
    SearchWish wish = around(3.0, 70.0);
    const Shape at_the_end = pad(2.0, 70.0, 14.0, 14.0);
    CentreSearch search(wish);
    while (const auto spot = search.next()) {
        EXPECT_GE(spot->x, wish.lowest.x);
        search.note(at_the_end(spot->x.value(), spot->y.value()));
    }
    EXPECT_THAT(search.problem(), HasSubstr("travel ends"));
}

TEST(CentreSearch, EndsOnCountsThatMakeNoSense) {
    std::mt19937 random(3);
    std::uniform_real_distribution<double> any(-500.0, 500.0);
    for (int round = 0; round < 500; ++round) {
        unsigned looks = 0;
        CentreSearch search(around(50.0, 70.0));
        while (search.next()) {
            search.note(any(random));
            ASSERT_LE(++looks, 200U);
        }
    }
    CentreSearch search(around(50.0, 70.0));
    search.note(std::nan(""));
    EXPECT_THAT(search.problem(), HasSubstr("no number"));
    SearchWish still = around(50.0, 70.0);
    still.step = Millimetre(0.0);
    EXPECT_FALSE(CentreSearch(still).next());
}

TEST(TaughtOrigin, IsTheMeanAndNamesTheKeyThatFitsWorst) {
    const auto spot = [](double x, double y) { return Spot{Millimetre(x), Millimetre(y)}; };
    const std::vector<TaughtKey> keys = {{"power", spot(22, 30), spot(42.1, 70.0)},
                                         {"lock", spot(44, 30), spot(64.1, 70.0)},
                                         {"timer", spot(66, 30), spot(86.1, 70.6)}};
    const TaughtOrigin taught = origin_of(keys);
    EXPECT_NEAR(taught.origin.x.value(), 20.1, 1e-9);
    EXPECT_NEAR(taught.origin.y.value(), 40.2, 1e-9);
    EXPECT_NEAR(taught.farthest.value(), 0.4, 1e-9);
    EXPECT_EQ(taught.key, "timer");
}

// Noise that was taken for a touch, as where its own scatter is told too small.
TEST(CentreSearch, FindsNothingInNoise) {
    int found = 0;
    for (unsigned seed = 0; seed < 1000; ++seed) {
        std::mt19937_64 random(seed);
        std::normal_distribution<double> noise(0.0, 10.0);
        const auto search =
            searched(around(52.0, 68.5), [&](double, double) { return std::abs(noise(random)); });
        found += search.problem().empty() ? 1 : 0;
    }
    EXPECT_LE(found, 10) << "looks of one deviation count as a touch here";
}

}  // namespace
}  // namespace padtrim::metrology
