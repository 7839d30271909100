#include "station/answers/bias_answer.hpp"

#include <cmath>

#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/quality_wish.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

// AIAG Measurement Systems Analysis, 4th ed., linearity example (data and values from memory):
// five parts with references 2, 4, 6, 8 and 10, twelve readings each; bias = 0.736667 - 0.131667
// reference.
const std::vector<std::vector<double>> published = {
    {2.7, 2.5, 2.4, 2.5, 2.7, 2.3, 2.5, 2.5, 2.4, 2.4, 2.6, 2.4},
    {5.1, 3.9, 4.2, 5.0, 3.8, 3.9, 3.9, 3.9, 3.9, 4.0, 4.1, 3.8},
    {5.8, 5.7, 5.9, 5.9, 6.0, 6.1, 6.0, 6.1, 6.4, 6.3, 6.0, 6.1},
    {7.6, 7.7, 7.8, 7.7, 7.8, 7.8, 7.8, 7.7, 7.8, 7.5, 7.6, 7.7},
    {9.1, 9.3, 9.5, 9.3, 9.4, 9.5, 9.5, 9.5, 9.6, 9.2, 9.3, 9.4}};

class Masters : public ::testing::Test {
  protected:
    // All readings of one lot, each `off` too high.
    void measure(const std::string& lot, double off, std::int64_t second) {
        ledger.lot(lot, true);
        for (std::size_t part = 0; part < published.size(); ++part)
            for (const double reading : published[part])
                ledger.unit({"M" + std::to_string(part),
                             {{"gain", reading + off}},
                             1,
                             record::Verdict::pass,
                             second += 10});
    }
    BiasAnswer asked() {
        BiasWish wish{study_values_of({}, record::Stage::as_found), {}};
        for (int part = 0; part < 5; ++part)
            wish.references.add("M" + std::to_string(part), "", 2.0 + 2.0 * part);
        return bias_answer(ledger.reader(), wish).value();
    }
    test_support::QualityLedger ledger;
};

TEST_F(Masters, HaveThePublishedLineOfBias) {
    measure("A", 0.0, 0);
    const auto answer = asked();
    ASSERT_EQ(answer.places.size(), 1u);
    const auto& place = answer.places[0];
    EXPECT_EQ(place.readings.size(), 60u);
    EXPECT_NEAR(place.bias->line.slope, -0.131667, 5e-7);
    EXPECT_NEAR(place.bias->line.intercept, 0.736667, 5e-7);
    EXPECT_FALSE(place.between_lots) << "one lot says nothing of stability";
    EXPECT_NE(sheet_of(answer).tables.at(0).rows.at(0).back().text.find("not known"),
              std::string::npos);
    EXPECT_NEAR(to_json(answer).at("places").at(0).at("slope").to_number<double>(), -0.131667,
                5e-7);
}

// Equal lots differ by nothing; one that is 0.5 off, twice the scatter, is found (arithmetic).
TEST_F(Masters, ShowABiasThatChangedBetweenLots) {
    measure("A", 0.0, 0);
    measure("B", 0.0, 10000);
    EXPECT_GT(asked().places.at(0).between_lots->significance, 0.9);
    EXPECT_EQ(asked().places.at(0).between_lots_deviation, 0.0);
    EXPECT_NE(sheet_of(asked()).tables.at(0).rows.at(0).back().text.find("steady"),
              std::string::npos);
    measure("C", 0.5, 20000);
    EXPECT_LT(asked().places.at(0).between_lots->significance, 1e-6);
    EXPECT_NEAR(asked().places.at(0).between_lots_deviation, 0.5 / std::sqrt(3.0), 0.01)
        << "deviation of 0, 0 and 0.5";
    EXPECT_NE(sheet_of(asked()).tables.at(0).rows.at(0).back().text.find("changed between lots"),
              std::string::npos);
}

TEST_F(Masters, NeedAReferenceToBeCounted) {
    measure("A", 0.0, 0);
    BiasWish wish{study_values_of({}, record::Stage::as_found), {}};
    EXPECT_TRUE(bias_answer(ledger.reader(), wish)->places.empty());
    wish.references.add("M1", "", 4.0);
    const auto answer = bias_answer(ledger.reader(), wish).value();
    EXPECT_EQ(answer.places.at(0).flaw, statistics::Flaw::equal_abscissae);
    EXPECT_NE(sheet_of(answer).tables.at(0).rows.at(0).back().text.find("--type-1"),
              std::string::npos);
}

TEST(ReferenceFile, GivesEachUnitOrKeyItsValue) {
    const auto read = read_references(
        "serial,key,value\r\n# by the laboratory\n\nM1,timer,4.5\nM1,power, 5\n\"M,2\",6e0\n");
    ASSERT_EQ(read.problem, "");
    EXPECT_EQ(read.values.of("M1", "timer"), 4.5);
    EXPECT_EQ(read.values.of("M1", "power"), 5.0);
    EXPECT_EQ(read.values.of("M1", "lock"), std::nullopt);
    EXPECT_EQ(read.values.of("M,2", "lock"), 6.0) << "of the unit, whatever the key";
}

TEST(ReferenceFile, SaysWhichLineIsWrong) {
    const std::vector<std::pair<std::string, std::string>> wrong = {
        {"", "no reference value"},
        {"M1,4\nM2", "Line 2 has to be"},
        {"M1,four", "'four'"},
        {"M1,nan", "'nan'"},
        {"M1,1,2,3", "Line 1 has to be"},
        {"M1,4\nM1,5", "Line 2 gives a second value for M1"}};
    for (const auto& [csv, part] : wrong)
        EXPECT_NE(read_references(csv).problem.find(part), std::string::npos)
            << csv << ": " << read_references(csv).problem;
}

}  // namespace
}  // namespace padtrim::answers
