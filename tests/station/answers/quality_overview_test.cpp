#include "station/answers/quality_overview.hpp"

#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "tests/station/answers/bench_ledger.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using record::Verdict;

PlaceControl charted(std::size_t points, std::vector<std::size_t> signals) {
    PlaceControl place;
    place.words = "gain, key timer";
    place.place.check = "gain";
    place.place.key = "timer";
    place.run_length = 100.0;
    ControlLine line;
    line.points.resize(points);
    for (const auto at : signals) line.points[at].signal = "one point beyond 3 sigma";
    place.lines = {line};
    return place;
}

OverviewAnswer calm() {
    OverviewAnswer answer;
    answer.lot.emplace();
    answer.lot->lot.name = "L-7";
    answer.lot->lot.count = {3, 3};
    return answer;
}

// With 100 points and a false alarm in 100, one alarm is what chance gives: P(1 or more) = 63 %.
// Five are not: P(5 or more) of a Poisson variable of mean 1 is 0.00366 (tables of the Poisson
// distribution).
TEST(OverviewOfALot, ActsOnSignalsThatChanceDoesNotGive) {
    EXPECT_FALSE(signals_more_than_chance(charted(100, {5}), 1));
    EXPECT_TRUE(signals_more_than_chance(charted(100, {5, 15, 25, 35, 45}), 1));
    EXPECT_FALSE(signals_more_than_chance(charted(100, {5, 15, 25, 35, 45}), 10))
        << "one of ten charts does that more easily";
    EXPECT_FALSE(signals_more_than_chance(charted(100, {5, 6, 7, 8, 9}), 1))
        << "signals in a row are one alarm";
}

TEST(OverviewOfALot, NamesTheOnlyThingToDoNext) {
    auto answer = calm();
    EXPECT_EQ(next_act(answer).sentence, "Nothing to decide in lot L-7.");
    answer.charts.places = {charted(100, {5, 15, 25, 35, 45, 55, 65})};
    EXPECT_EQ(next_act(answer).sentence, "Look at the chart of gain, key timer.");
    EXPECT_EQ(next_act(answer).place->key, "timer");
    answer.alarms = 1;
    EXPECT_EQ(next_act(answer).sentence, "Reply to the alarm of frozen charts.");
    answer.alarms = 3;
    EXPECT_EQ(next_act(answer).sentence, "Reply to the 3 alarms of frozen charts.");
    EXPECT_EQ(next_act(answer).about, "alarms");
    EXPECT_EQ(to_json(answer).at("alarms").to_number<int>(), 3);
    answer.waiting = 2;
    EXPECT_EQ(next_act(answer).sentence, "Decide about the 2 units that wait.");
    answer.doubt.emplace();
    answer.doubt->station = "line-3";
    answer.doubt->still_blocked = true;
    answer.doubt->units.resize(1);
    EXPECT_EQ(next_act(answer).sentence, "Have station line-3 mended: its shift check blocks it.");
    answer.doubt->units[0].would_change = true;
    EXPECT_EQ(next_act(answer).sentence,
              "Set the unit in doubt apart: station line-3 was found wrong.");
    answer.lot->lot.count.loaded = 4;
    EXPECT_EQ(next_act(answer).about, "lot");
    EXPECT_EQ(next_act({}).about, "nothing");
}

TEST(OverviewOfALot, ShowsTheNewestLotWithItsTapeAndPanels) {
    test_support::QualityLedger ledger;
    const auto text = language::plan_text(*test_support::hob_plan());
    for (const char* lot : {"L-1", "L-2"}) {
        ledger.lot(lot, false, text);
        for (int i = 0; i < 12; ++i)
            ledger.unit({std::string(lot) + std::to_string(i),
                         {{"gain", 400.0 + i % 5, record::Stage::as_found, "timer", 380.0, 420.0}},
                         1,
                         i == 3 ? Verdict::fail : Verdict::pass,
                         100 + i});
    }
    ledger.lot("G-1", true, text);
    const auto answer = quality_overview(ledger.reader(), {}).value();
    ASSERT_TRUE(answer.lot);
    EXPECT_EQ(answer.lot->lot.name, "L-2") << "a lot that only measures is asked for by its name";
    const auto sheet = sheet_of(answer);
    ASSERT_EQ(sheet.tapes.size(), 1U);
    EXPECT_EQ(sheet.tapes[0].units.size(), 12U);
    ASSERT_EQ(sheet.panels.size(), 2U);
    EXPECT_EQ(sheet.panels[1].id, "failures");
    ASSERT_EQ(sheet.charts.size(), 1U);
    EXPECT_EQ(sheet.charts[0].x.names, (std::vector<std::string>{"L-1", "L-2"}));
    const auto json = to_json(answer);
    EXPECT_FALSE(json.at("next").at("sentence").as_string().empty());

    QualityWish first;
    first.lot = "L-1";
    EXPECT_EQ(quality_overview(ledger.reader(), first).value().lot->lot.name, "L-1");

    ledger.lot("L-3", false, text);
    const auto fresh = quality_overview(ledger.reader(), {}).value();
    EXPECT_EQ(fresh.lot->lot.name, "L-3");
    EXPECT_EQ(fresh.drawn_lot, "L-2") << "charts stay until the new lot has its own";
    EXPECT_EQ(sheet_of(fresh).panels.size(), 2U);
    EXPECT_EQ(sheet_of(fresh).sentences.at(0),
              "No unit of lot L-3 has a result yet: charts are of lot L-2.");
    EXPECT_TRUE(sheet_of(fresh).tapes.empty());
}

TEST(OverviewOfALot, SaysWhenThereIsNone) {
    test_support::QualityLedger ledger;
    const auto answer = quality_overview(ledger.reader(), {}).value();
    EXPECT_FALSE(answer.lot);
    EXPECT_TRUE(sheet_of(answer).tapes.empty());
}

}  // namespace
}  // namespace padtrim::answers
