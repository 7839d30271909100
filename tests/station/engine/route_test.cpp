// The way over the keys against the shortest there is.
#include "station/engine/route.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include <gtest/gtest.h>

namespace padtrim::engine {
namespace {

using Places = std::vector<language::PanelPlace>;

language::PanelPlace at(double x, double y) {
    return {Millimetre(x), Millimetre(y)};
}

Places scattered(std::size_t keys, std::mt19937& random) {
    std::uniform_real_distribution<double> place(0.0, 300.0);
    Places places;
    for (std::size_t i = 0; i < keys; ++i) places.push_back(at(place(random), place(random) / 3));
    return places;
}

// M. Held, R. M. Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10 (1962):
// the shortest way through a set of places that ends at one of them, from the smaller sets.
double shortest(const Places& places) {
    const std::size_t n = places.size();
    const auto apart = [&](std::size_t a, std::size_t b) {
        return std::hypot((places[a].x - places[b].x).value(), (places[a].y - places[b].y).value());
    };
    const std::size_t sets = std::size_t{1} << n;
    std::vector<double> best(sets * n, std::numeric_limits<double>::infinity());
    for (std::size_t i = 0; i < n; ++i) best[(std::size_t{1} << i) * n + i] = 0.0;
    for (std::size_t set = 1; set < sets; ++set)
        for (std::size_t end = 0; end < n; ++end)
            for (std::size_t next = 0; next < n; ++next) {
                if ((set >> end & 1U) == 0 || (set >> next & 1U) == 1) continue;
                double& there = best[(set | std::size_t{1} << next) * n + next];
                there = std::min(there, best[set * n + end] + apart(end, next));
            }
    return *std::min_element(best.end() - static_cast<std::ptrdiff_t>(n), best.end());
}

TEST(Route, GoesOverEveryKeyOnce) {
    std::mt19937 random(1);
    for (const std::size_t keys : {0U, 1U, 2U, 7U, 40U}) {
        auto route = short_route(scattered(keys, random));
        std::sort(route.begin(), route.end());
        std::vector<std::size_t> each(keys);
        std::iota(each.begin(), each.end(), std::size_t{0});
        EXPECT_EQ(route, each);
    }
}

TEST(Route, KeepsTheOrderGivenWhereNoneIsShorter) {
    EXPECT_EQ(short_route({at(0, 0), at(20, 0), at(40, 0)}), (std::vector<std::size_t>{0, 1, 2}));
    EXPECT_EQ(short_route({at(40, 0), at(20, 0), at(0, 0)}), (std::vector<std::size_t>{0, 1, 2}));
    EXPECT_EQ(short_route({at(20, 0), at(0, 0), at(40, 0)}).at(1), 0U);
}

TEST(Route, IsAtMostAHundredthLongerThanTheShortestOfUpToTwelveKeys) {
    std::mt19937 random(2);
    double worst = 1.0, sum = 0.0;
    int optimal = 0;
    constexpr int trials = 40;
    for (int i = 0; i < trials; ++i) {
        const auto places = scattered(5 + static_cast<std::size_t>(i) % 8, random);
        const double ratio = length_of(places, short_route(places)).value() / shortest(places);
        EXPECT_GE(ratio, 1.0 - 1e-9) << "shorter than the shortest";
        worst = std::max(worst, ratio);
        sum += ratio;
        optimal += ratio < 1.0 + 1e-9 ? 1 : 0;
    }
    std::printf("route over 5 to 12 keys: %d of %d the shortest, mean %.4f, worst %.4f of it\n",
                optimal, trials, sum / trials, worst);
    EXPECT_LE(worst, 1.01);
}

// Rows of a keypad, in the order of a writer's eye: every row from its left end.
TEST(Route, TurnsAtTheEndOfEachRow) {
    Places places;
    for (int row = 0; row < 3; ++row)
        for (int column = 0; column < 4; ++column) places.push_back(at(20 * column, 20 * row));
    EXPECT_NEAR(length_of(places, short_route(places)).value(), 11 * 20.0, 1e-9);
}

}  // namespace
}  // namespace padtrim::engine
