#include "station/answers/chart.hpp"

#include <cmath>
#include <limits>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/bins.hpp"

namespace padtrim::answers {
namespace {

// RFC 4180: lines end in CRLF; a field with a comma, a quote or a line end stands in quotes, and a
// quote within is doubled (section 2, rules 1, 6 and 7).
TEST(ChartTable, IsCsvToRfc4180) {
    const Table table{"",
                      {{"name", "", false}, {"gain", "counts/pF", true}},
                      {{"plain", number_cell(0.1)},
                       {"a, \"b\"", number_cell(1e-300)},
                       {"two\nlines", count_cell(12)}}};
    EXPECT_EQ(
        csv_of(table),
        "name,gain (counts/pF)\r\nplain,0.1\r\n\"a, \"\"b\"\"\",1e-300\r\n\"two\nlines\",12\r\n");
}

TEST(ChartTable, GivesNumbersToProgramsInFullWhateverPeopleRead) {
    const double third = 1.0 / 3.0;
    const Table table{"", {{"x", "", true}}, {{number_cell(third, 3)}}};
    EXPECT_EQ(table.rows[0][0].text, "0.333");
    EXPECT_EQ(std::stod(csv_of(table).substr(3)), third) << "reads back as the same number";
}

// Many readers of CSV and JSON take a number with an exponent for no integer.
TEST(ChartTable, WritesCountsWithoutAnExponent) {
    for (const double count : {0.0, 7.0, 100000.0, 3e9, 9007199254740992.0}) {
        EXPECT_EQ(exact(count), std::to_string(static_cast<long long>(count)));
        EXPECT_EQ(text_of(number(count)), exact(count));
        EXPECT_EQ(number_cell(count).text, exact(count));
    }
    for (const double value : {0.1, 1e-5, 123456789.5, -2.5e-6, 0.1 + 0.2}) {
        EXPECT_EQ(exact(value).find('e'), std::string::npos) << exact(value);
        EXPECT_EQ(std::stod(exact(value)), value);
        EXPECT_EQ(parse_json(text_of(number(value)))->to_number<double>(), value);
    }
    for (const double value : {1e300, 2e-9}) EXPECT_EQ(std::stod(exact(value)), value);
}

TEST(ChartTable, SaysOfAHardlyPossibleShareOnlyThatItIsSmall) {
    const auto cell = ppm_cell(2.03e-56);
    EXPECT_EQ(cell.text, "< 0.001");
    EXPECT_EQ(*cell.value, 2.03e-56) << "programs get the number";
    EXPECT_EQ(ppm_cell(0.0).text, "0");
    EXPECT_EQ(ppm_cell(63.34).text, "63.3");
    EXPECT_EQ(ppm_cell(1480.35).text, "1480");
}

// Spreadsheets take a cell that begins so for a formula (common practice, no source).
TEST(ChartTable, LetsNoSerialNumberBecomeAFormula) {
    for (const char* serial : {"=1+1", "+1", "-1", "@x"}) {
        const Table table{"", {{"unit", "", false}}, {{TableCell(serial)}}};
        EXPECT_EQ(csv_of(table), "unit\r\n'" + std::string(serial) + "\r\n");
    }
}

TEST(ChartTable, HasNoNumberWhereThereIsNone) {
    const auto cell = number_cell(std::nan(""));
    EXPECT_EQ(cell.text, "-");
    EXPECT_FALSE(cell.value);
    EXPECT_EQ(exact(std::numeric_limits<double>::infinity()), "");
}

TEST(ChartTable, IsReadToTheMinuteWithUtcSaidOnceAndKeptInFull) {
    const Table table{
        "", {{"began", "", false}, {"lot", "", false}}, {{"2026-03-31T08:15:42.000Z", "2026-A"}}};
    const Table read = for_reading(table);
    EXPECT_EQ(read.rows[0][0].text, "2026-03-31 08:15");
    EXPECT_EQ(read.columns[0].unit, "UTC");
    EXPECT_EQ(read.rows[0][1].text, "2026-A");
    EXPECT_EQ(read.columns[1].unit, "");
    EXPECT_NE(csv_of(table).find("2026-03-31T08:15:42.000Z"), std::string::npos);
}

TEST(Chart, IsDescribedInJsonWithLimitsRemarksAndTable) {
    Chart chart;
    chart.id = "c";
    chart.x = {"order", "", Scale::order, {"A", "B"}};
    chart.y = {"gain", "counts/pF"};
    chart.series = {
        {"gain", Shape::line, Stroke::dashed, {{0.0, 1.5}, {1.0, 9.0, 8.0, 10.0, "odd"}}}};
    chart.limits = {{"high", 5.0, LimitKind::specification}};
    chart.table = {"t", {{"x", "", true}}, {{count_cell(1)}}};
    const auto json = to_json(chart);
    EXPECT_EQ(json.at("x").at("scale").as_string(), "order");
    EXPECT_EQ(json.at("x").at("names").as_array().size(), 2u);
    const auto& series = json.at("series").at(0);
    EXPECT_EQ(series.at("stroke").as_string(), "dashed");
    EXPECT_EQ(series.at("dots").at(1).at("remark").as_string(), "odd");
    EXPECT_FALSE(series.at("dots").at(0).as_object().contains("low"));
    EXPECT_EQ(json.at("limits").at(0).at("kind").as_string(), "specification");
    EXPECT_EQ(json.at("table").at("rows").at(0).at(0).at("value").to_number<double>(), 1.0);
}

TEST(Chart, HasAnIdThatNamesFilesAndPages) {
    EXPECT_EQ(id_of("Gain, key \"hob 1\" <b>"), "gain-key-hob-1-b");
    EXPECT_EQ(id_of("../.."), "figure");
}

TEST(Sheet, IsShortenedForPaperAndSaysWhatIsLeftOut) {
    Sheet sheet;
    sheet.tables = {{"t", {{"x", "", true}}, {}}};
    for (std::uint64_t i = 0; i < 5; ++i) sheet.tables[0].rows.push_back({count_cell(i)});
    sheet.panels = {{"a", "first", ""}, {"b", "second", ""}};
    const Sheet same = shortened(sheet, 5, 2);
    EXPECT_EQ(same.tables[0].title, "t");
    EXPECT_TRUE(same.sentences.empty());
    const Sheet less = shortened(sheet, 3, 1);
    EXPECT_EQ(less.tables[0].rows.size(), 3u);
    EXPECT_EQ(less.tables[0].title, "t: the first 3 of 5 rows");
    ASSERT_EQ(less.panels.size(), 1u);
    EXPECT_EQ(less.sentences.at(0), "Not drawn: second.");
}

TEST(Bins, HoldEveryValueOnceInBinsOfRoundWidth) {
    std::vector<double> values;
    for (int i = 0; i < 1000; ++i) values.push_back(std::sin(i) * 3.0 + 7.0);
    const auto bins = bins_of(values);
    ASSERT_GE(bins.size(), 5u);
    ASSERT_LE(bins.size(), 42u);
    double all = 0.0;
    for (const auto& bin : bins) all += bin.count;
    EXPECT_EQ(all, 1000.0);
    const double width = bins[1].centre - bins[0].centre;
    const double mantissa = width / std::pow(10.0, std::floor(std::log10(width * 1.0000001)));
    EXPECT_TRUE(std::abs(mantissa - 1) < 1e-6 || std::abs(mantissa - 2) < 1e-6 ||
                std::abs(mantissa - 5) < 1e-6)
        << width;
}

TEST(Bins, AreOneForEqualValuesAndNoneForNone) {
    EXPECT_TRUE(bins_of(std::vector<double>{}).empty());
    EXPECT_TRUE(bins_of(std::vector<double>{std::nan("")}).empty());
    const auto bins = bins_of(std::vector<double>{4.0, 4.0, 4.0});
    ASSERT_EQ(bins.size(), 1u);
    EXPECT_EQ(bins[0].count, 3.0);
}

// Far from zero a bin is still a bin: values that differ by less than bins can be told apart.
TEST(Bins, SurviveValuesThatHardlyDiffer) {
    const auto bins = bins_of(std::vector<double>{1e15, 1e15 + 1.0, 1e15 + 2.0, 1e15 + 3.0});
    double all = 0.0;
    for (const auto& bin : bins) all += bin.count;
    EXPECT_EQ(all, 4.0);
}

}  // namespace
}  // namespace padtrim::answers
