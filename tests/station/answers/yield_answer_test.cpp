#include "station/answers/yield_answer.hpp"

#include <algorithm>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using ledger::RollupBy;
using record::Verdict;

// Nest 1: 40 units, 10 fail, of which 8 pass when tried again. Nest 2: 40 units, 2 fail.
class TwoNests : public ::testing::Test {
  protected:
    void SetUp() override {
        ledger.lot("L-1");
        for (int i = 0; i < 80; ++i) {
            const auto nest = static_cast<std::uint16_t>(i % 2 + 1);
            const bool fails = nest == 1 ? i < 20 : i < 4;
            add(i, nest, fails, 100 + 10 * i);
        }
        for (int i = 0; i < 16; i += 2) add(i, 1, false, 5000 + 10 * i);
    }
    void add(int i, std::uint16_t nest, bool fails, std::int64_t second) {
        const Verdict verdict = fails ? Verdict::fail : Verdict::pass;
        ledger.unit({"U" + std::to_string(i),
                     {{i % 3 == 0 ? "noise" : "gain", 1.0, record::Stage::as_found, "K1", 0.0, 2.0,
                       verdict}},
                     nest,
                     verdict,
                     second});
    }
    YieldAnswer by(RollupBy grouping, std::optional<std::pair<std::string, std::string>> two = {}) {
        return yield_and_rolled(ledger.reader(), {}, grouping, two).value();
    }
    test_support::QualityLedger ledger;
};

TEST_F(TwoNests, HaveFirstPassAndFinalYieldByNest) {
    const auto answer = by(RollupBy::nest);
    ASSERT_EQ(answer.groups.size(), 2u);
    EXPECT_EQ(answer.groups[0].name, "nest 1");
    EXPECT_NEAR(answer.groups[0].yield->first_pass.value, 30.0 / 40.0, 1e-12);
    EXPECT_NEAR(answer.groups[0].yield->final_pass.value, 38.0 / 40.0, 1e-12);
    EXPECT_NEAR(answer.groups[1].yield->first_pass.value, 38.0 / 40.0, 1e-12);
    EXPECT_EQ(answer.whole->counts.yield.units, 80u);
    // Wilson's interval of 30 in 40 at 95 %: 0.5981 to 0.8581 (score interval, by hand).
    EXPECT_NEAR(answer.groups[0].yield->first_pass.wilson.low, 0.5981, 5e-5);
    EXPECT_NEAR(answer.groups[0].yield->first_pass.wilson.high, 0.8581, 5e-5);
}

// 30/40 beside 38/40: chi-squared 80 (30*2 - 38*10)^2 / (68*12*40*40) = 6.2745, one degree,
// 1.23 % (tables of chi-squared: 6.635 is 1 %, 5.024 is 2.5 %).
TEST_F(TwoNests, AreTestedForBeingAlike) {
    const auto answer = by(RollupBy::nest, {{"1", "nest 2"}});
    ASSERT_TRUE(answer.alike);
    EXPECT_NEAR(answer.alike->chi_squared, 6.2745, 5e-5);
    EXPECT_NEAR(answer.alike->significance, 0.01225, 5e-5);
    ASSERT_TRUE(answer.comparison);
    EXPECT_NEAR(answer.comparison->first_pass.value, -0.2, 1e-12);
    EXPECT_LT(answer.comparison->first_pass.difference.high, 0.0);
    EXPECT_NE(sheet_of(answer).sentences.at(0).find("a real difference"), std::string::npos);
}

TEST_F(TwoNests, NameWhatIsThereWhenANameIsUnknown) {
    const auto answer = by(RollupBy::nest, {{"1", "7"}});
    EXPECT_FALSE(answer.comparison);
    EXPECT_NE(answer.problem.find("'7'"), std::string::npos);
    EXPECT_NE(answer.problem.find("nest 1, nest 2"), std::string::npos);
}

TEST_F(TwoNests, ShowWhichOneRejectsGoodUnits) {
    const auto answer = by(RollupBy::nest);
    // What nest 2 rejected was never tried again, which says nothing of it.
    ASSERT_EQ(answer.by_nest.size(), 1u);
    EXPECT_EQ(answer.by_nest[0].share.part, 8u);
    EXPECT_EQ(answer.by_nest[0].share.whole, 8u);
}

TEST_F(TwoNests, CountWhatFailsFirstMostFrequentFirst) {
    const auto answer = by(RollupBy::everything);
    ASSERT_FALSE(answer.failures.empty());
    std::uint64_t units = 0;
    for (const auto& row : answer.failures) units += row.count;
    EXPECT_EQ(units, 12u);
    EXPECT_TRUE(std::is_sorted(answer.failures.begin(), answer.failures.end(),
                               [](auto& a, auto& b) { return a.count > b.count; }));
    EXPECT_DOUBLE_EQ(answer.failures.back().running, 1.0);
    const auto chart = pareto_chart(answer);
    EXPECT_EQ(chart.table.rows.size(), answer.failures.size());
    ASSERT_EQ(chart.series.size(), 1u);
    EXPECT_EQ(chart.series[0].shape, Shape::ranked);
    EXPECT_EQ(chart.series[0].dots.back().note,
              std::to_string(answer.failures.back().count) + " · 100.0 %");
}

TEST_F(TwoNests, SayHowManyCausesMakeUpMostOfAllAndAtWhichRisk) {
    YieldAnswer answer;
    const auto with = [&](std::vector<quality::NamedCount> counts) {
        answer.failures = quality::pareto(counts).value();
        return pareto_chart(answer).sentence;
    };
    // 7 of 12 are 58 %, 10 are 83 % (counted by hand).
    EXPECT_EQ(with({{"a", 7}, {"b", 3}, {"c", 2}}).find("2 of 3 causes make up at least 80 %"), 0u);
    EXPECT_EQ(pareto_chart(answer).series.at(0).dots.at(0).note, "7 · 58.3 %");
    EXPECT_EQ(pareto_chart(answer).limits.at(0).value, 1.5);
    EXPECT_EQ(with({{"a", 1}, {"b", 1}, {"c", 1}}).find("All 3 causes"), 0u);
    EXPECT_TRUE(pareto_chart(answer).limits.empty());
    EXPECT_EQ(with({{"a", 4}}).find("One cause"), 0u);
    const auto nests = sheet_of(by(RollupBy::nest));
    EXPECT_EQ(nests.sentences.at(0),
              "No difference of first-pass yields shown (p = 0.012, risk 0.01, score test).");
}

TEST_F(TwoNests, DrawNoMoreBarsThanCanBeReadAndKeepTheRestInTheTable) {
    YieldAnswer answer;
    for (int i = 0; i < 20; ++i) answer.failures.push_back({std::to_string(i), 1, 0.05, 1.0});
    const auto chart = pareto_chart(answer);
    EXPECT_EQ(chart.series.at(0).dots.size(), 16u);
    EXPECT_EQ(chart.table.rows.size(), 20u);
    EXPECT_NE(chart.sentence.find("Drawn: the first 16 of 20."), std::string::npos);
}

TEST_F(TwoNests, AreToldToProgramsWithEveryCount) {
    const auto json = to_json(by(RollupBy::lot));
    const auto& lot = json.at("yields").at(0);
    EXPECT_EQ(lot.at("lot").as_string(), "L-1");
    EXPECT_EQ(lot.at("count").at("units").to_number<int>(), 80);
    EXPECT_EQ(lot.at("count").at("recovered").to_number<int>(), 8);
    EXPECT_EQ(lot.at("yield").at("first_pass").at("part").to_number<int>(), 68);
    EXPECT_TRUE(json.at("comparison").is_null());
}

// Noise: 5 of 27 fail at their first try; gain: 7 of 53 (counted by hand).
TEST_F(TwoNests, HaveARolledYieldOverTheirChecks) {
    const auto answer = by(RollupBy::lot);
    const double product = 22.0 / 27.0 * 46.0 / 53.0;
    const auto json = to_json(answer).at("rolled_throughput");
    EXPECT_NEAR(json.at(0).at("value").to_number<double>(), product, 1e-12);
    const auto table = sheet_of(answer).tables.back();
    EXPECT_NEAR(table.rows.at(0).at(2).value.value(), product, 1e-12);
    EXPECT_EQ(table.rows[0].back().text, "noise, K1: 81.5 %");
}

TEST_F(TwoNests, AreNotThereInAnotherPeriod) {
    QualityWish wish;
    wish.until = support::at_second(0) - std::chrono::hours(48);
    const auto answer = yield_answer(ledger.reader(), wish, RollupBy::day).value();
    EXPECT_TRUE(answer.groups.empty());
    EXPECT_EQ(sheet_of(answer).sentences.size(), 1u);
}

TEST_F(TwoNests, AreNamedByDayAndShift) {
    EXPECT_EQ(by(RollupBy::day).groups.at(0).name, "2031-03-04");
    EXPECT_EQ(by(RollupBy::month).groups.at(0).name, "2031-03");
    // 00:01 UTC belongs to the shift that began at 22:00 the day before.
    EXPECT_EQ(by(RollupBy::shift_of_day).groups.at(0).name, "2031-03-03 shift 3");
}

TEST(YieldAnswer, KnowsItsGroupingsByTheirTypedNames) {
    for (const auto& name : yield_grouping_names()) EXPECT_TRUE(yield_grouping_of(name)) << name;
    EXPECT_FALSE(yield_grouping_of("moon"));
}

}  // namespace
}  // namespace padtrim::answers
