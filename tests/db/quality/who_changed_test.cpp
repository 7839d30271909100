// Johansen's test (Biometrika 67 (1980) 85) is Welch's (1951) for one mean, whose check against
// published figures is in docs/checks.md. Seeded simulations beside stated risks.
#include "db/quality/who_changed.hpp"

#include <algorithm>
#include <random>

#include <gtest/gtest.h>

#include "db/quality/shared_change.hpp"

namespace padtrim::quality {
namespace {

using statistics::Flaw;
using Table = std::vector<ChangeCell>;

// Three standards and the product in two nests; `change` says by how much each changed.
template <class Change>
Table table_of(Change change, double standard = 1.0) {
    Table cells;
    for (const char* specimen : {"A", "B", "C", ""})
        for (const std::uint16_t nest : {std::uint16_t{1}, std::uint16_t{2}})
            cells.push_back({specimen, nest, change(std::string(specimen), nest), standard});
    return cells;
}

TEST(WhoChanged, TellsNestStandardStationAndProductApart) {
    const auto only = [](const Table& cells) {
        const auto who = *who_changed(cells);
        EXPECT_NE(who.told(), nullptr);
        return who.told() != nullptr && who.told()->size() == 1 ? who.told()->front()
                                                                : ChangeCause{};
    };
    const auto nest = only(table_of([](auto, int n) { return n == 2 ? 9.0 : 0.1; }));
    EXPECT_EQ(nest.what, Changed::nest);
    EXPECT_EQ(nest.nest, 2);
    EXPECT_NEAR(nest.size, 9.0, 1e-9);
    EXPECT_NEAR(nest.standard_uncertainty, 0.5, 1e-9) << "four cells of 1";
    const auto standard = only(table_of([](auto s, int) { return s == "B" ? -9.0 : 0.1; }));
    EXPECT_EQ(standard.what, Changed::standard);
    EXPECT_EQ(standard.standard, "B");
    EXPECT_EQ(only(table_of([](auto, int) { return 9.0; })).what, Changed::station);
    EXPECT_EQ(only(table_of([](auto s, int) { return s.empty() ? 9.0 : 0.1; })).what,
              Changed::product);
}

TEST(WhoChanged, TellsPairs) {
    const auto who = *who_changed(
        table_of([](auto s, int n) { return (s == "A" ? 9.0 : 0.0) + (n == 1 ? -12.0 : 0.2); }));
    ASSERT_NE(who.told(), nullptr);
    ASSERT_EQ(who.told()->size(), 2u);
    EXPECT_EQ(who.told()->at(0).what, Changed::nest);
    EXPECT_EQ(who.told()->at(1).standard, "A");
    const auto both = *who_changed(table_of([](auto, int n) { return n == 1 ? -9.0 : 12.0; }));
    ASSERT_NE(both.told(), nullptr);
    EXPECT_EQ(both.told()->at(1).nest, 2) << "both nests, not the station and one of them";
}

TEST(WhoChanged, AdmitsWhatTwoStandardsCannotTell) {
    // Both changed, by different amounts: each alone, or the station and one of them.
    const Table two{{"A", 1, 5.0, 1.0}, {"B", 1, 12.0, 1.0}};
    const auto who = *who_changed(two);
    EXPECT_TRUE(who.changed);
    EXPECT_EQ(who.told(), nullptr);
    const Table quiet{{"A", 1, 0.3, 1.0}, {"B", 1, -0.8, 1.0}};
    EXPECT_FALSE(who_changed(quiet)->changed);
    // A stayed where it was, which no change of the station would let it.
    const Table one{{"A", 1, 0.0, 1.0}, {"B", 1, 9.0, 1.0}};
    ASSERT_NE(who_changed(one)->told(), nullptr);
    EXPECT_EQ(who_changed(one)->told()->at(0).standard, "B");
    // A product beside them tells: it agrees with A.
    const Table with_product{{"A", 1, 5.0, 1.0}, {"B", 1, 14.0, 1.0}, {"", 1, 5.2, 1.0}};
    const auto told = *who_changed(with_product);
    EXPECT_TRUE(std::any_of(told.fitting.begin(), told.fitting.end(), [](const auto& causes) {
        return causes.size() == 2 && causes[0].what == Changed::station;
    }));
}

// What is left over of "all alike" is Welch's test that changes are alike.
TEST(WhoChanged, LeavesOverWhatWelchsTestDoes) {
    const std::vector<ChangeOf> changes{{"A", 0.75, 0.566, 9.0}, {"B", 2.33, 0.633, 9.0}};
    const double consistency = shared_change(changes)->consistency;
    const Table cells{{"A", 1, 0.75, 0.566, 9.0}, {"B", 1, 2.33, 0.633, 9.0}};
    const auto station_fits = [&](double risk) {
        const auto who = *who_changed(cells, risk);
        for (const auto& each : who.fitting)
            if (each.front().what == Changed::station) return true;
        return false;
    };
    EXPECT_TRUE(station_fits(consistency * 0.999));
    EXPECT_FALSE(station_fits(consistency * 1.001));
}

// 5000 quiet stations with changes of 5 recent values since 10: 3 sigma of counting 0.05 is 0.009;
// 8 cells of 13 degrees.
TEST(WhoChanged, CallsQuietStationsChangedAsOftenAsStated) {
    std::mt19937_64 source(84);
    std::normal_distribution<double> normal(400.0, 2.0);
    int changed = 0;
    for (int i = 0; i < 5000; ++i) {
        Table cells;
        for (const char* specimen : {"A", "B", "C", ""})
            for (const std::uint16_t nest : {std::uint16_t{1}, std::uint16_t{2}}) {
                std::vector<double> baseline(10), recent(5);
                for (double& value : baseline) value = normal(source);
                for (double& value : recent) value = normal(source);
                cells.push_back(*change_cell(specimen, nest, baseline, recent));
            }
        changed += who_changed(cells, 0.05)->changed ? 1 : 0;
    }
    EXPECT_NEAR(changed / 5000.0, 0.05, 0.012);
}

// By hand: means 2 and 5, squares 2 + 2, 4 degrees: u^2 = 1 (1/3 + 1/3).
TEST(ChangeCell, IsStudentsDifferenceOfMeans) {
    const std::vector<double> baseline{1, 2, 3}, recent{4, 5, 6};
    const auto cell = *change_cell("A", 1, baseline, recent);
    EXPECT_NEAR(cell.value, 3.0, 1e-12);
    EXPECT_NEAR(cell.standard, std::sqrt(2.0 / 3.0), 1e-12);
    EXPECT_EQ(cell.degrees, 4.0);
    EXPECT_TRUE(change_cell("A", 1, baseline, {recent.data(), 1}));
    EXPECT_EQ(change_cell("A", 1, baseline, {}).error(), Flaw::too_few_points);
    EXPECT_EQ(change_cell("A", 1, std::vector<double>{1, 1}, std::vector<double>{2}).error(),
              Flaw::not_positive);
    EXPECT_EQ(change_cell("A", 1, baseline, std::vector<double>{NAN}).error(), Flaw::not_finite);
}

TEST(WhoChanged, NamesEveryFlaw) {
    const Table good{{"A", 1, 0.0, 1.0}, {"B", 1, 9.0, 1.0}};
    EXPECT_EQ(who_changed(Table{good[0]}).error(), Flaw::too_few_points);
    EXPECT_EQ(who_changed(good, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(who_changed(Table{good[0], {"B", 1, NAN, 1.0}}).error(), Flaw::not_finite);
    EXPECT_EQ(who_changed(Table{good[0], {"B", 1, 1.0, 0.0}}).error(), Flaw::not_positive);
    EXPECT_EQ(who_changed(Table{good[0], {"B", 1, 1.0, 1.0, NAN}}).error(), Flaw::out_of_domain);
    EXPECT_EQ(sizes_of(Table{good[0], good[1], {"C", 1, 0.0, 1.0}},
                       {{Changed::station, 0, ""}, {Changed::station, 0, ""}})
                  .error(),
              Flaw::dependent_columns);
}

}  // namespace
}  // namespace padtrim::quality
