#include "station/answers/control_answer.hpp"

#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "station/answers/chart_rows.hpp"
#include "tests/station/answers/bench_ledger.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using quality::RunRule;

// NIST/SEMATECH e-Handbook 6.3.2.2, flow rates of ten batches.
const std::vector<double> flow_rates = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};

test_support::QualityLedger& with_values(test_support::QualityLedger& ledger,
                                         const std::vector<double>& values) {
    ledger.lot("L-1");
    for (std::size_t i = 0; i < values.size(); ++i)
        ledger.unit({"U" + std::to_string(i + 1),
                     {{"gain", values[i]}},
                     1,
                     record::Verdict::pass,
                     10 + 10 * static_cast<std::int64_t>(i)});
    return ledger;
}

// The handbook prints 50.81, 45.8159 and 55.8041 with d2 rounded to 1.128; exact d2 makes
// 45.81759 and 55.80241.
TEST(ControlAnswer, DrawsThePublishedLimitsOfSingleValues) {
    test_support::QualityLedger ledger;
    const auto answer = control_answer(with_values(ledger, flow_rates).reader(), {}).value();
    ASSERT_EQ(answer.places.size(), 1u);
    const auto& line = answer.places[0].lines.at(0);
    EXPECT_NEAR(line.centre, 50.81, 1e-12);
    EXPECT_NEAR(line.points[0].low, 45.8175883199, 1e-9);
    EXPECT_NEAR(line.points[0].high, 55.8024116801, 1e-9);
    EXPECT_EQ(line.points.size(), 10u);
    const auto& ranges = answer.places[0].lines.at(1);
    EXPECT_EQ(ranges.points.size(), 9u);
    EXPECT_NEAR(ranges.points[0].high, 6.13382104844, 5e-6);  // exact D4 (the handbook has none)
}

// Limits alone: 1 / 0.0026998 = 370.4 points; with the other three rules 91.75 (Champ and Woodall,
// Technometrics 29 (1987) 393).
TEST(ControlAnswer, SaysHowOftenItsRulesCallAFalseAlarm) {
    test_support::QualityLedger ledger;
    with_values(ledger, flow_rates);
    ControlWish wish;
    EXPECT_NEAR(*control_answer(ledger.reader(), wish)->places[0].run_length, 91.75, 0.01);
    wish.rules = {RunRule::beyond_limits};
    EXPECT_NEAR(*control_answer(ledger.reader(), wish)->places[0].run_length, 370.4, 0.05);
    wish.rules = {RunRule::six_steady};
    EXPECT_FALSE(control_answer(ledger.reader(), wish)->places[0].run_length)
        << "no closed answer for this one";
}

// NIST/SEMATECH e-Handbook 6.3.3.1: defects of 25 wafers; centre 16, limits 4 and 28, the
// twenty-fourth beyond them, the third on the limit, which is no signal. A lot is one wafer and
// each failed check a defect.
TEST(ControlAnswer, ChartsFailedChecksAUnitWithThePublishedLimits) {
    test_support::QualityLedger ledger;
    const std::vector<int> defects{16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14,
                                   16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13};
    for (std::size_t i = 0; i < defects.size(); ++i) {
        ledger.lot("W-" + std::to_string(i + 1));
        test_support::StoredUnit wafer{"U" + std::to_string(i),
                                       {{"flat", 1.0}},
                                       1,
                                       record::Verdict::fail,
                                       10 + 10 * static_cast<int>(i)};
        for (int defect = 0; defect < defects[i]; ++defect) {
            test_support::StoredValue value{"defect", 1.0, record::Stage::as_found,
                                            "K" + std::to_string(defect)};
            value.verdict = record::Verdict::fail;
            wafer.values.push_back(value);
        }
        ledger.unit(wafer);
    }
    ControlWish wish;
    wish.kind = ControlKind::occurrences;
    for (const std::uint64_t single_units : {100u, 1u}) {
        wish.values.single_units = single_units;
        const auto answer = control_answer(ledger.reader(), wish).value();
        ASSERT_EQ(answer.places.size(), 1u);
        const auto& line = answer.places[0].lines.at(0);
        EXPECT_NEAR(line.centre, 16.0, 1e-12);
        if (answer.by_day) {
            EXPECT_EQ(line.points.size(), 1u) << "all on one day";
            continue;
        }
        EXPECT_NEAR(line.points[0].low, 4.0, 1e-12);
        EXPECT_NEAR(line.points[0].high, 28.0, 1e-12);
        ASSERT_EQ(line.points.size(), 25u);
        EXPECT_EQ(answer.places[0].signals(), 1u);
        EXPECT_EQ(line.points[23].signal, "beyond its limits");
        EXPECT_GT(answer.places[0].run_length.value(), 100.0);
        EXPECT_EQ(chart_rows(answer).rows.size(), 25u);
    }
}

TEST(ControlAnswer, GivesProgramsThePointsOfEveryChartAndSaysOfWhichEachIs) {
    test_support::QualityLedger ledger;
    ledger.lot("L-1");
    for (int i = 0; i < 4; ++i)
        ledger.unit({"U" + std::to_string(i),
                     {{"gain", 1.0 + 0.1 * (i % 2), record::Stage::as_found, "timer"},
                      {"offset", 5.0 + i % 3, record::Stage::as_found, "power"}},
                     1,
                     record::Verdict::pass,
                     10 + 10 * i});
    const auto table = chart_rows(control_answer(ledger.reader(), {}).value());
    std::map<std::string, int> rows;
    for (const auto& row : table.rows) {
        ASSERT_EQ(row.size(), table.columns.size());
        ++rows[row[2].text + " " + row[3].text + " " + row[4].text + " " + row[6].text + " " +
               row[7].text];
    }
    // Four values have three moving ranges.
    EXPECT_EQ(rows, (std::map<std::string, int>{{"gain timer 0 as found value", 4},
                                                {"gain timer 0 as found moving range", 3},
                                                {"offset power 0 as found value", 4},
                                                {"offset power 0 as found moving range", 3}}));
}

TEST(ControlAnswer, NamesTheUnitAndTheRuleWhereOneSignals) {
    test_support::QualityLedger ledger;
    auto values = flow_rates;
    values.push_back(70.0);
    ControlWish wish;
    wish.baseline = 10;
    const auto answer = control_answer(with_values(ledger, values).reader(), wish).value();
    const auto& points = answer.places[0].lines[0].points;
    EXPECT_NE(points.back().signal.find("beyond 3 sigma"), std::string::npos);
    EXPECT_NEAR(points.back().high, 55.8024116801, 1e-9) << "the new value moves no limit";
    const auto sheet = sheet_of(answer);
    bool told = false;
    for (const auto& dot : sheet.charts.at(0).series.at(0).dots)
        told = told || dot.remark.find("U11") == 0;
    EXPECT_TRUE(told);
    EXPECT_EQ(sheet.charts[0].table.rows.size(), 11u);
    EXPECT_EQ(sheet.charts[0].limits.size(), 3u);
    ASSERT_EQ(sheet.charts.size(), 2u);
    EXPECT_EQ(sheet.charts[1].title.substr(0, 12), "moving range");
    EXPECT_TRUE(sheet.charts[1].below) << "under its values";
    EXPECT_FALSE(sheet.charts[0].below);
    EXPECT_EQ(sheet.charts[1].x.names, sheet.charts[0].x.names);
    EXPECT_EQ(sheet.charts[1].series[0].dots[0].x, 1.0) << "the first value has no range";
}

TEST(ControlAnswer, StandsAtItsKeyOnThePanel) {
    test_support::QualityLedger ledger;
    const auto plan = test_support::hob_plan();
    ledger.lot("L-1", false, language::plan_text(*plan));
    for (int i = 0; i < 12; ++i)
        ledger.unit({"U" + std::to_string(i),
                     {{"gain", 400.0 + i % 3, record::Stage::as_found, "timer"},
                      {"gain", i == 11 ? 900.0 : 400.0 + i % 3, record::Stage::as_found, "lock"},
                      {"noise", 1.0 + i % 2, record::Stage::as_found, ""}},
                     1,
                     record::Verdict::pass,
                     10 + i});
    const auto sheet = sheet_of(control_answer(ledger.reader(), {}).value());
    ASSERT_EQ(sheet.panels.size(), 1u) << "noise is of no key here";
    const auto& figure = sheet.panels[0];
    EXPECT_EQ(figure.places.size(), plan->map.keys.size());
    EXPECT_EQ(figure.charts.size(), 2u);
    for (const auto& place : figure.places) {
        const bool charted = place.key == "timer" || place.key == "lock";
        EXPECT_EQ(place.chart.has_value(), charted) << place.key;
        if (place.key == "lock") {
            EXPECT_EQ(place.outline, Stroke::dashed);
        }
        if (!charted) {
            EXPECT_EQ(place.outline, Stroke::dotted);
        }
    }
    EXPECT_EQ(figure.table.rows.at(0).at(0).text, "lock") << "most signals first";
}

TEST(ControlAnswer, TakesMeansOfWholeSubgroupsOnly) {
    test_support::QualityLedger ledger;
    ControlWish wish;
    wish.kind = ControlKind::means_and_ranges;
    wish.size = 3;
    const auto answer = control_answer(with_values(ledger, flow_rates).reader(), wish).value();
    const auto& lines = answer.places[0].lines;
    ASSERT_EQ(lines[0].points.size(), 3u) << "the tenth value is left over";
    EXPECT_NEAR(lines[0].points[0].value, (49.6 + 47.6 + 49.9) / 3.0, 1e-12);
    // ISO 7870-2: mean +- A2 Rbar, A2 = 1.023 for three (1.0231 exactly computed).
    const double mean_range = (2.3 + 3.5 + 1.2) / 3.0;
    EXPECT_NEAR(lines[0].points[0].high - lines[0].centre, 1.023 * mean_range, 1e-3);
}

TEST(ControlAnswer, RemembersInWeightedMeansAndSums) {
    test_support::QualityLedger ledger;
    std::vector<double> values = flow_rates;
    for (int i = 0; i < 12; ++i) values.push_back(54.0);  // a small lasting shift
    with_values(ledger, values);
    for (const auto kind : {ControlKind::weighted, ControlKind::sums}) {
        ControlWish wish;
        wish.kind = kind;
        wish.baseline = 10;
        const auto answer = control_answer(ledger.reader(), wish).value();
        EXPECT_GT(answer.places[0].signals(), 0u) << name_of(kind);
        EXPECT_GT(*answer.places[0].run_length, 100.0) << name_of(kind);
        EXPECT_TRUE(answer.rules.empty()) << "run rules are of the other charts";
    }
}

TEST(ControlAnswer, ChartsTheShareOfRejectedUnitsALotAPoint) {
    test_support::QualityLedger ledger;
    for (int lot = 0; lot < 6; ++lot) {
        ledger.lot("L-" + std::to_string(lot));
        for (int i = 0; i < 20; ++i)
            ledger.unit({"U" + std::to_string(i),
                         {{"gain", 1.0}},
                         1,
                         i < (lot == 5 ? 15 : 1) ? record::Verdict::fail : record::Verdict::pass,
                         1000 * lot + i});
    }
    ControlWish wish;
    wish.kind = ControlKind::share;
    const auto answer = control_answer(ledger.reader(), wish).value();
    const auto& line = answer.places.at(0).lines.at(0);
    ASSERT_EQ(line.points.size(), 6u);
    EXPECT_NEAR(line.centre, 20.0 / 120.0, 1e-12);
    EXPECT_EQ(line.points[5].label, "L-5");
    EXPECT_FALSE(line.points[5].signal.empty());
    EXPECT_TRUE(line.points[0].signal.empty());
}

TEST(ControlAnswer, DrawsNoChartOfWhatHardlyEverDiffers) {
    test_support::QualityLedger ledger;
    std::vector<double> reports(40, 1.0);
    reports[17] = 0.0;
    const auto answer = control_answer(with_values(ledger, reports).reader(), {}).value();
    EXPECT_EQ(answer.places.at(0).flaw, statistics::Flaw::not_positive);
    EXPECT_EQ(answer.places[0].signals(), 0u);
}

TEST(ControlAnswer, NamesTheFlawWhereThereIsNoChart) {
    test_support::QualityLedger ledger;
    const auto answer = control_answer(with_values(ledger, {1.0}).reader(), {}).value();
    EXPECT_TRUE(answer.places.at(0).flaw);
    EXPECT_TRUE(sheet_of(answer).charts.empty());
    ControlWish unknown;
    unknown.values.check = "no such";
    EXPECT_TRUE(control_answer(ledger.reader(), unknown)->places.empty());
}

TEST(ControlAnswer, KnowsItsKindsAndRulesByTheirTypedNames) {
    for (const auto& name : control_kind_names()) EXPECT_EQ(name_of(*control_kind_of(name)), name);
    for (const auto& name : run_rule_names()) EXPECT_EQ(typed_name_of(*run_rule_of(name)), name);
    EXPECT_FALSE(control_kind_of("moon"));
    EXPECT_FALSE(run_rule_of("moon"));
}

}  // namespace
}  // namespace padtrim::answers
