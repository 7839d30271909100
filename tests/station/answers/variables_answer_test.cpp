#include "station/answers/variables_answer.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

class LotByVariables : public ::testing::Test {
  protected:
    void measure(const std::string& key, const std::vector<double>& values,
                 std::optional<double> low, std::optional<double> high) {
        for (const double value : values) {
            ++units_;
            ledger.unit({"U" + std::to_string(units_),
                         {{"gain", value, record::Stage::as_found, key, low, high}},
                         1,
                         record::Verdict::pass,
                         10 * units_});
        }
    }
    VariablesAnswer judged(double k, std::uint64_t sample = 0) {
        VariablesWish wish;
        wish.values.runs.lot = "L-1";
        wish.values.check = "gain";
        wish.plan = {sample, k};
        return variables_answer(ledger.reader(), wish).value();
    }
    void SetUp() override { ledger.lot("L-1"); }
    test_support::QualityLedger ledger;
    int units_ = 0;
};

// Example of the s method in older tables (from memory): five temperatures below 209, mean 195,
// deviation 8.81, (U - mean) / s = 1.59, k = 1.53: accepted.
TEST_F(LotByVariables, IsAcceptedAsInThePublishedExample) {
    measure("K1", {197, 188, 184, 205, 201}, std::nullopt, 209.0);
    const auto answer = judged(1.53, 5);
    EXPECT_TRUE(answer.accepted());
    EXPECT_NEAR(answer.places.at(0).result->mean, 195.0, 1e-12);
    EXPECT_NEAR(answer.places[0].result->q_high.value(), 1.59, 0.005);
    EXPECT_FALSE(answer.places[0].result->q_low);
    EXPECT_FALSE(judged(1.60, 5).accepted());
    const auto json = to_json(answer);
    EXPECT_TRUE(json.at("accepted").as_bool());
    EXPECT_EQ(json.at("places").at(0).at("values").to_number<int>(), 5);
    EXPECT_NE(sheet_of(answer).title.find("accepted"), std::string::npos);
    EXPECT_NE(sheet_of(judged(1.60, 5)).title.find("NOT ACCEPTED"), std::string::npos);
}

TEST_F(LotByVariables, IsNotAcceptedWhereOneKeyIsNot) {
    measure("good", {10, 11, 12, 11, 10}, 0.0, 30.0);
    measure("bad", {10, 11, 12, 11, 10}, 9.0, 30.0);
    const auto answer = judged(3.0);
    EXPECT_FALSE(answer.accepted());
    EXPECT_EQ(answer.places.at(0).place.key, "bad") << "first what is not accepted";
    EXPECT_TRUE(answer.places.at(1).result->accepted);
}

TEST_F(LotByVariables, IsNotAcceptedByTooFewValuesOrNone) {
    EXPECT_FALSE(judged(1.0).accepted()) << "nothing was measured";
    measure("K1", {10, 11, 12, 11, 10}, 0.0, 30.0);
    EXPECT_FALSE(judged(1.0, 6).accepted());
    EXPECT_EQ(judged(1.0, 6).places.at(0).problem, "6 values are needed");
    EXPECT_TRUE(judged(1.0, 5).accepted());
    measure("K2", {10, 11, 12}, std::nullopt, std::nullopt);
    EXPECT_EQ(judged(1.0, 3).places.at(0).problem, "no limits");
}

}  // namespace
}  // namespace padtrim::answers
