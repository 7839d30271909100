#include "station/answers/export_rows.hpp"

#include <sstream>

#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

// A reader of RFC 4180 of its own: fields in quotes may hold commas, quotes and line ends.
std::vector<std::vector<std::string>> parsed(const std::string& csv) {
    std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
    bool quoted = false;
    for (std::size_t i = 0; i < csv.size(); ++i) {
        const char c = csv[i];
        if (quoted && c == '"' && i + 1 < csv.size() && csv[i + 1] == '"') {
            rows.back().back() += csv[++i];
        } else if (c == '"') {
            quoted = !quoted;
        } else if (!quoted && c == ',') {
            rows.back().emplace_back();
        } else if (!quoted && c == '\r' && csv[i + 1] == '\n') {
            ++i;
            rows.emplace_back(1);
        } else {
            rows.back().back() += c;
        }
    }
    rows.pop_back();
    return rows;
}

class Exported : public ::testing::Test {
  protected:
    std::string text(ExportOf what, ExportAs as, record::Stage stage = record::Stage::as_found) {
        std::string all;
        const auto done = export_rows(ledger.reader(), {}, what, stage, as,
                                      [&](const std::string& part) { all += part; });
        EXPECT_TRUE(done);
        return all;
    }
    test_support::QualityLedger ledger;
};

TEST_F(Exported, UnitsKeepWhateverTheirSerialsHold) {
    ledger.lot("L-1");
    const std::vector<std::string> serials = {"plain", "with, comma", "it's \"quoted\"",
                                              "two\nlines", "=formula"};
    for (const auto& serial : serials) ledger.unit({serial, {}});
    const auto rows = parsed(text(ExportOf::units, ExportAs::csv));
    ASSERT_EQ(rows.size(), serials.size() + 1);
    for (const auto& row : rows) EXPECT_EQ(row.size(), rows[0].size());
    for (std::size_t i = 0; i < serials.size(); ++i) {
        const std::string expected = serials[i] == "=formula" ? "'=formula" : serials[i];
        EXPECT_EQ(rows[i + 1][2], expected);
    }
}

TEST_F(Exported, ChecksHaveEveryDigitAndTheirStage) {
    ledger.lot("L-1");
    const double third = 1.0 / 3.0;
    ledger.unit({"A",
                 {{"gain", third, record::Stage::as_found, "K1", 0.1},
                  {"gain", 2.0, record::Stage::as_left}}});
    const auto rows = parsed(text(ExportOf::checks, ExportAs::csv));
    ASSERT_EQ(rows.size(), 2u);
    const auto column = [&](const std::string& name) {
        for (std::size_t i = 0; i < rows[0].size(); ++i)
            if (rows[0][i] == name) return rows[1][i];
        return std::string("none");
    };
    EXPECT_EQ(std::stod(column("value")), third);
    EXPECT_EQ(column("stage"), "as found");
    EXPECT_EQ(column("low"), "0.1");
    EXPECT_EQ(column("high"), "") << "no limit is no number";
    const auto left = parsed(text(ExportOf::checks, ExportAs::csv, record::Stage::as_left));
    EXPECT_EQ(left.size(), 2u);
}

TEST_F(Exported, ReadingsAreTheRawCounts) {
    ledger.lot("L-1");
    ledger.unit({"A", {}});
    const auto rows = parsed(text(ExportOf::readings, ExportAs::csv));
    // Two readings of three scans with four counts each (tests/support/lot_samples.cpp).
    EXPECT_EQ(rows.size(), 1u + 2 * 3 * 4);
    EXPECT_EQ(rows[1].back(), "800");
}

TEST_F(Exported, LinesAreGainAndOffsetOfAChannel) {
    ledger.lot("L-1");
    ledger.unit({"A", {}});
    const auto rows = parsed(text(ExportOf::lines, ExportAs::csv));
    ASSERT_EQ(rows.size(), 3u);
    EXPECT_EQ(rows[1][7], "812.4");
}

TEST_F(Exported, JsonIsOneObjectALine) {
    ledger.lot("L-1");
    for (int i = 0; i < 450; ++i)  // more than are read together
        ledger.unit({"U" + std::to_string(i), {{"gain", 1.0 * i}}});
    std::istringstream lines(text(ExportOf::checks, ExportAs::json_lines));
    std::string line;
    int count = 0;
    while (std::getline(lines, line)) {
        const auto json = parse_json(line);
        ASSERT_TRUE(json) << line;
        EXPECT_EQ(json->at("serial").as_string(), "U" + std::to_string(count));
        EXPECT_EQ(json->at("value").to_number<double>(), count);
        ++count;
    }
    EXPECT_EQ(count, 450);
}

TEST_F(Exported, NothingIsAHeadingAlone) {
    EXPECT_EQ(parsed(text(ExportOf::units, ExportAs::csv)).size(), 1u);
    EXPECT_EQ(text(ExportOf::units, ExportAs::json_lines), "");
}

}  // namespace
}  // namespace padtrim::answers
