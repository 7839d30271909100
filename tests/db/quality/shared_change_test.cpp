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

// One of three moves by four of its uncertainties: seldom is that called the station's. 5000 at 1
// %.
TEST(SharedChange, SeldomBlamesTheStationForOneStandard) {
    std::mt19937_64 source(83);
    std::normal_distribution<double> normal;
    int blamed = 0;
    for (int i = 0; i < 5000; ++i) {
        const Changes changes{
            {"a", 4 + normal(source), 1}, {"b", normal(source), 1}, {"c", normal(source), 1}};
        blamed += shared_change(changes)->whose == Whose::station ? 1 : 0;
    }
    EXPECT_LT(blamed, 250);
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

// Simulation, seeded: changes of 5 recent values since baselines of 10, known by their scatter
// only; as often as above, for Student's and Welch's tests allow for few values.
TEST(SharedChange, SeesNothingInQuietStandardsOfShortBaselines) {
    std::mt19937_64 source(82);
    std::normal_distribution<double> normal(100.0, 3.0);
    const auto quiet = [&](const char* name) {
        std::vector<double> baseline(10), recent(5);
        for (double& value : baseline) value = normal(source);
        for (double& value : recent) value = normal(source);
        return *change_of(name, baseline, recent);
    };
    int alarms = 0;
    for (int i = 0; i < 5000; ++i) {
        const Changes three{quiet("a"), quiet("b"), quiet("c")};
        alarms += shared_change(three, 0.05)->whose != Whose::not_distinguishable ? 1 : 0;
    }
    EXPECT_LT(alarms, 600);
    EXPECT_GT(alarms, 250);
}

// By hand: means 2 and 5, variances 1 of 3 values each: u^2 = 2/3, 4 degrees.
TEST(ChangeOf, IsTheDifferenceOfMeansWithItsDegrees) {
    const std::vector<double> baseline{1, 2, 3}, recent{4, 5, 6};
    const auto change = *change_of("a", baseline, recent);
    EXPECT_NEAR(change.value, 3.0, 1e-12);
    EXPECT_NEAR(change.standard, std::sqrt(2.0 / 3.0), 1e-12);
    EXPECT_NEAR(change.degrees, 4.0, 1e-12);
    EXPECT_EQ(change_of("a", baseline, {recent.data(), 1}).error(), Flaw::too_few_points);
    EXPECT_EQ(change_of("a", baseline, std::vector<double>{1, NAN}).error(), Flaw::not_finite);
    EXPECT_EQ(change_of("a", std::vector<double>{1, 1}, std::vector<double>{2, 2}).error(),
              Flaw::not_positive);
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
    EXPECT_EQ(shared_change(Changes{{"a", 1, 1, NAN}, {"b", 1, 1}}).error(), Flaw::out_of_domain);
    EXPECT_EQ(shared_change(Changes{{"a", 1, 1}, {"b", 1, 1}}, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(product_change({"lot", 1, 1}, {}).error(), Flaw::not_positive);
}

}  // namespace
}  // namespace padtrim::quality
