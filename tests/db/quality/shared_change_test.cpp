#include "db/quality/shared_change.hpp"

#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using statistics::Flaw;
using Changes = std::vector<ChangeOf>;

TEST(SharedChange, IsTheStationsWhenAllStandardsShowIt) {
    const auto shared = *shared_change(Changes{{"a", 5.1, 1}, {"b", 4.6, 1}, {"c", 5.3, 1}});
    EXPECT_EQ(shared.whose, Whose::station);
    EXPECT_NEAR(shared.value, 5.0, 1e-12);
    EXPECT_FALSE(shared.apart);
}

TEST(SharedChange, IsOneStandardsWhenOnlyItShowsIt) {
    const auto shared = *shared_change(Changes{{"a", 0.2, 1}, {"b", 9.0, 1}, {"c", -0.4, 1}});
    EXPECT_EQ(shared.whose, Whose::standard);
    EXPECT_EQ(shared.apart, "b");
    EXPECT_NEAR(shared.value, -0.1, 1e-12);
}

TEST(SharedChange, TellsStationAndAgeingStandardApart) {
    const auto shared = *shared_change(Changes{{"a", 8.0, 1}, {"b", 8.4, 1}, {"c", 20.0, 1}});
    EXPECT_EQ(shared.whose, Whose::station_and_standard);
    EXPECT_EQ(shared.apart, "c");
}

TEST(SharedChange, AdmitsWhatCannotBeTold) {
    EXPECT_EQ(shared_change(Changes{{"a", 0.3, 1}, {"b", -0.8, 1}, {"c", 1.0, 1}})->whose,
              Whose::not_distinguishable);
    const auto two = *shared_change(Changes{{"a", 0.0, 1}, {"b", 9.0, 1}});
    EXPECT_EQ(two.whose, Whose::not_distinguishable);
    EXPECT_FALSE(two.consistent);
    const auto three = *shared_change(Changes{{"a", -20, 1}, {"b", 0.0, 1}, {"c", 20.0, 1}});
    EXPECT_EQ(three.whose, Whose::not_distinguishable);
    EXPECT_FALSE(product_change({"lot", 50, 1}, three)->distinguishable);
}

// Simulation, seeded: three quiet standards; 5000 at 5 %: two tests, so at most 10 % and counting.
TEST(SharedChange, SeesNothingInQuietStandards) {
    std::mt19937_64 source(81);
    std::normal_distribution<double> normal;
    int alarms = 0;
    for (int i = 0; i < 5000; ++i) {
        const Changes quiet{
            {"a", normal(source), 1}, {"b", 2 * normal(source), 2}, {"c", normal(source), 1}};
        alarms += shared_change(quiet, 0.05)->whose != Whose::not_distinguishable ? 1 : 0;
    }
    EXPECT_LT(alarms, 550);
    EXPECT_GT(alarms, 250);
}

TEST(ProductChange, IsWhatTheStationDoesNotExplain) {
    const auto station = *shared_change(Changes{{"a", 5.1, 1}, {"b", 4.6, 1}, {"c", 5.3, 1}});
    const auto explained = *product_change({"lot", 5.5, 0.5}, station);
    EXPECT_FALSE(explained.distinguishable);
    const auto own = *product_change({"lot", 12.0, 0.5}, station);
    EXPECT_TRUE(own.distinguishable);
    EXPECT_NEAR(own.value, 7.0, 1e-12);
    EXPECT_NEAR(own.standard, std::sqrt(0.25 + 1.0 / 3.0), 1e-12);
}

TEST(SharedChange, NamesEveryFlaw) {
    EXPECT_EQ(shared_change(Changes{{"a", 1, 1}}).error(), Flaw::too_few_points);
    for (const double bad : {NAN, INFINITY}) {
        EXPECT_EQ(shared_change(Changes{{"a", bad, 1}, {"b", 1, 1}}).error(), Flaw::not_finite);
        EXPECT_EQ(shared_change(Changes{{"a", 1, bad}, {"b", 1, 1}}).error(), Flaw::not_finite);
        EXPECT_EQ(product_change({"lot", bad, 1}, {}).error(), Flaw::not_finite);
    }
    EXPECT_EQ(shared_change(Changes{{"a", 1, 0}, {"b", 1, 1}}).error(), Flaw::not_positive);
    EXPECT_EQ(shared_change(Changes{{"a", 1, 1}, {"b", 1, 1}}, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(product_change({"lot", 1, 1}, {}).error(), Flaw::not_positive);
}

}  // namespace
}  // namespace padtrim::quality
