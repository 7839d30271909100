#include "station/answers/day_means.hpp"

#include <gtest/gtest.h>

#include "station/answers/control_answer.hpp"
#include "station/answers/drift_answer.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

constexpr std::int64_t a_day = 86'400;

// Three units a day; from day 6 on the gain is higher by 3.
void fill(test_support::QualityLedger& ledger, int days) {
    ledger.lot("L-1");
    for (int day = 0; day < days; ++day)
        for (int unit = 0; unit < 3; ++unit) {
            const double gain = 400.0 + 0.1 * unit + 0.02 * (day % 3) + (day >= 6 ? 3.0 : 0.0);
            const bool fails = day == 2 && unit == 1;
            ledger.unit({"U" + std::to_string(3 * day + unit),
                         {{"gain", gain}},
                         static_cast<std::uint16_t>(1 + unit % 2),
                         fails ? record::Verdict::fail : record::Verdict::pass,
                         a_day * day + 10 * unit});
        }
}

ValueWish with_few_single_units() {
    ValueWish wish;
    wish.single_units = 5;
    return wish;
}

TEST(DayMeans, AreTheMeansOfTheSingleValues) {
    test_support::QualityLedger ledger;
    fill(ledger, 4);
    const auto days = day_series(ledger.reader(), with_few_single_units()).value();
    const auto values = value_series(ledger.reader(), {}).value();
    ASSERT_EQ(days.places.size(), 1u);
    ASSERT_EQ(days.places[0].days.size(), 4u);
    EXPECT_EQ(days.newest->serial, "U11");
    for (std::size_t day = 0; day < 4; ++day) {
        const auto& one = values.places.at(0).values;
        const double mean =
            (one[3 * day].value + one[3 * day + 1].value + one[3 * day + 2].value) / 3;
        EXPECT_NEAR(*days.places[0].days[day].moments.mean(), mean, 1e-9);
        EXPECT_EQ(days.places[0].days[day].moments.count(), 3u);
    }
}

TEST(DayMeans, StandForManyUnitsInControlCharts) {
    test_support::QualityLedger ledger;
    fill(ledger, 8);
    ControlWish wish;
    wish.values = with_few_single_units();
    const auto answer = control_answer(ledger.reader(), wish).value();
    EXPECT_TRUE(answer.by_day);
    const auto& points = answer.places.at(0).lines.at(0).points;
    ASSERT_EQ(points.size(), 8u);
    EXPECT_EQ(points[1].label, day_words(std::chrono::floor<std::chrono::days>(points[1].at)));
    EXPECT_NEAR(points[1].value, 400.12, 1e-9);
    EXPECT_NE(sheet_of(answer).sentences.at(1).find("means of days"), std::string::npos);
}

TEST(DayMeans, StandForManyUnitsInSharesOfRejects) {
    test_support::QualityLedger ledger;
    fill(ledger, 4);
    ControlWish wish;
    wish.kind = ControlKind::share;
    wish.values = with_few_single_units();
    const auto answer = control_answer(ledger.reader(), wish).value();
    const auto& points = answer.places.at(0).lines.at(0).points;
    ASSERT_EQ(points.size(), 4u);
    EXPECT_NEAR(points[2].value, 1.0 / 3.0, 1e-12);
    EXPECT_EQ(points[3].value, 0.0);
}

TEST(DayMeans, TellAStepByItsDay) {
    test_support::QualityLedger ledger;
    fill(ledger, 12);
    const auto answer = drift_answer(ledger.reader(), with_few_single_units()).value();
    EXPECT_TRUE(answer.by_day);
    const auto& place = answer.places.at(0);
    ASSERT_EQ(place.points.size(), 12u);
    ASSERT_TRUE(place.finding);
    EXPECT_EQ(place.finding->kind, quality::Drift::step);
    EXPECT_EQ(place.finding->step.at, 6u);
    const auto table = sheet_of(answer).tables.at(0);
    EXPECT_NE(table.rows.at(0).at(3).text.find("at " + place.points[6].label), std::string::npos)
        << table.rows.at(0).at(3).text;
}

TEST(DayMeans, LeaveFewUnitsTimesWithinADayAndEveryTryToSingleValues) {
    test_support::QualityLedger ledger;
    fill(ledger, 4);
    ValueWish wish;
    EXPECT_FALSE(too_many_units(ledger.reader(), wish).value());
    wish.single_units = 5;
    EXPECT_TRUE(too_many_units(ledger.reader(), wish).value());
    wish.runs.since = support::at_second(5);
    EXPECT_FALSE(too_many_units(ledger.reader(), wish).value());
    wish.runs.since = std::chrono::floor<std::chrono::days>(support::at_second(2 * a_day));
    wish.single_units = 6;
    EXPECT_FALSE(too_many_units(ledger.reader(), wish).value()) << "two days of three units";
    wish.single_units = 5;
    EXPECT_TRUE(too_many_units(ledger.reader(), wish).value());
    wish.tries = WhichTries::every;
    EXPECT_FALSE(too_many_units(ledger.reader(), wish).value());
}

}  // namespace
}  // namespace padtrim::answers
