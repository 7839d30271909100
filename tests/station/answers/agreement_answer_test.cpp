#include "station/answers/agreement_answer.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/quality_wish.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

// Bland and Altman, Lancet 327 (1986) 307 (data and printed values from memory): 17 people, peak
// flow by a large meter and by a small one. Mean difference -2.1, deviation 38.8, its interval
// -22.0 to 17.8, limits of agreement -79.7 and 75.5 (with 2 s; 1.96 s makes -78.1 and 73.9).
const std::vector<double> large{494, 395, 516, 434, 476, 557, 413, 442, 650,
                                433, 417, 656, 267, 478, 178, 423, 427};
const std::vector<double> small{512, 430, 520, 428, 500, 600, 364, 380, 658,
                                445, 432, 626, 260, 477, 259, 350, 451};

class TwoStations : public ::testing::Test {
  protected:
    void measure(const std::string& station, const std::vector<double>& values,
                 std::int64_t second) {
        ledger.lot("of " + station, true, "", station);
        for (std::size_t i = 0; i < values.size(); ++i)
            ledger.unit({"U" + std::to_string(i),
                         {{"gain", values[i]}},
                         1,
                         record::Verdict::pass,
                         second + 10 * static_cast<std::int64_t>(i)});
    }
    AgreementAnswer asked(std::optional<double> allowance = {}) {
        return agreement_answer(ledger.reader(), {study_values_of({}, record::Stage::as_found),
                                                  "large", "small", allowance})
            .value();
    }
    test_support::QualityLedger ledger;
};

TEST_F(TwoStations, AgreeAsPublished) {
    measure("large", large, 10);
    measure("small", small, 1000);
    const auto answer = asked(25.0);
    ASSERT_EQ(answer.places.size(), 1u);
    const auto& found = answer.places[0].agreement.value();
    EXPECT_NEAR(found.difference.value, -2.1, 0.05);
    EXPECT_NEAR(found.deviation, 38.8, 0.05);
    EXPECT_NEAR(found.difference.low, -22.0, 0.1);
    EXPECT_NEAR(found.difference.high, 17.8, 0.1);
    EXPECT_NEAR(found.lower.value, -78.1, 0.1);
    EXPECT_FALSE(answer.places[0].differ());
    const auto json = to_json(answer);
    EXPECT_TRUE(json.at("places").at(0).at("alike").as_bool());
    EXPECT_EQ(json.at("places").at(0).at("pairs").as_array().size(), 17u);
    EXPECT_FALSE(to_json(asked(20.0)).at("places").at(0).at("alike").as_bool())
        << "the interval reaches to -22";
    const auto sheet = sheet_of(answer);
    EXPECT_EQ(sheet.tables.at(0).rows.at(0).back().text, "not told apart; alike");
    EXPECT_EQ(sheet.charts.at(0).series.at(0).dots.size(), 17u);
}

TEST_F(TwoStations, AreToldApartWhereOneIsOff) {
    measure("large", large, 10);
    auto off = large;
    for (std::size_t i = 0; i < off.size(); ++i) off[i] += 5.0 + (i % 2 == 0 ? 0.5 : -0.5);
    measure("small", off, 1000);
    const auto answer = asked();
    EXPECT_TRUE(answer.places.at(0).differ());
    EXPECT_NEAR(answer.places[0].agreement->difference.value, -5.0, 0.1);
    EXPECT_NE(sheet_of(answer).tables.at(0).rows.at(0).back().text.find("they differ"),
              std::string::npos);
}

TEST_F(TwoStations, CountTheUnitsThatOneAloneMeasured) {
    measure("large", large, 10);
    measure("small", {512, 430}, 1000);
    const auto answer = asked();
    EXPECT_EQ(answer.places.at(0).pairs.size(), 2u);
    EXPECT_EQ(answer.places[0].left_out, 15u);
    EXPECT_EQ(answer.places[0].flaw, statistics::Flaw::too_few_points);
    EXPECT_TRUE(sheet_of(answer).charts.empty());
}

TEST_F(TwoStations, CountAUnitByTheMeanOfItsReadings) {
    measure("large", {10, 20, 30}, 10);
    measure("large", {12, 22, 32}, 500);
    measure("small", {10, 21, 33}, 1000);
    const auto answer = asked();
    ASSERT_EQ(answer.places.at(0).pairs.size(), 3u);
    EXPECT_EQ(answer.places[0].pairs[0].a, 11.0);
}

}  // namespace
}  // namespace padtrim::answers
