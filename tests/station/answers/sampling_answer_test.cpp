#include "station/answers/sampling_answer.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/sampling_rows.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

class Sampled : public ::testing::Test {
  protected:
    void SetUp() override {
        record::SamplingPlan plan;
        plan.product = "panel";
        plan.step = "hover";
        plan.level = "II";
        plan.quality_limit = 1.0;
        plan.who = "qa";
        plan.why = "hover takes a minute";
        ASSERT_TRUE(support::await(context_, ledger.ledger().keep_sampling_plan(plan)));
    }
    SamplingStanding standing() {
        const auto all = sampling_answer(ledger.reader(), "panel", "hover").value();
        EXPECT_EQ(all.size(), 1u);
        return all.at(0);
    }
    record::SampledLot sample(const std::string& lot, std::uint64_t size) {
        const auto now = standing();
        const auto wanted = lot_to_sample(now.plan, lot, size, support::at_second(10)).value();
        EXPECT_TRUE(
            support::await(context_, ledger.ledger().keep_sampled_lot(now.plan.id, wanted)));
        return standing().plan.lots.back();
    }
    void tell(const record::SampledLot& lot, std::uint64_t nonconforming, int second = 20) {
        const auto result =
            result_of(standing().plan, lot, nonconforming, "qa", support::at_second(second));
        EXPECT_TRUE(support::await(context_, ledger.ledger().keep_sampling_result(result)));
    }
    void lot(const std::string& name, std::uint64_t nonconforming) {
        tell(sample(name, 1000), nonconforming);
    }
    test_support::QualityLedger ledger;
    boost::asio::io_context context_;
};

// 1000 units at level II are letter J; 1.0 % is 80 and 2 (ISO 2859-1, from memory).
TEST_F(Sampled, LotsSayWhichOfTheirUnitsGetTheStep) {
    const auto lot = sample("L-1", 1000);
    EXPECT_EQ(lot.letter, "J");
    EXPECT_EQ(lot.sample, 80u);
    EXPECT_EQ(lot.accept, 2u);
    const auto units = chosen_units(lot);
    EXPECT_EQ(units.size(), 80u);
    EXPECT_LE(units.back(), 1000u);
    EXPECT_EQ(units, chosen_units(standing().plan.lots.back())) << "the same when read again";
    const auto again = lot_to_sample(standing().plan, "L-1", 1000, support::at_second(11)).value();
    EXPECT_FALSE(
        support::await(context_, ledger.ledger().keep_sampled_lot(standing().plan.id, again)));
}

// ISO 2859-1, 9.3 (from memory): 2 of 5 refused tighten, 5 accepted in a row relax, 5 refused stop.
TEST_F(Sampled, LotsSwitchTheInspectionOfTheNext) {
    lot("L-1", 3);
    EXPECT_EQ(standing().switching.severity(), quality::Severity::normal);
    lot("L-2", 3);
    EXPECT_EQ(standing().switching.severity(), quality::Severity::tightened);
    EXPECT_EQ(sample("L-3", 1000).accept, 1u);
    tell(standing().plan.lots.back(), 1);
    for (int i = 4; i < 8; ++i) lot("L-" + std::to_string(i), 0);
    EXPECT_EQ(standing().switching.severity(), quality::Severity::normal);
    for (int i = 8; i < 15; ++i) lot("L-" + std::to_string(i), 9);
    EXPECT_EQ(standing().switching.severity(), quality::Severity::stopped);
    EXPECT_FALSE(lot_to_sample(standing().plan, "L-15", 1000, support::at_second(1)));
    ASSERT_TRUE(support::await(
        context_, ledger.ledger().resume_sampling(standing().plan.id,
                                                  {0, support::at_second(30), "qa", "new glue"})));
    EXPECT_EQ(standing().switching.severity(), quality::Severity::tightened);
    const auto json = to_json(sampling_answer(ledger.reader(), "", "").value());
    EXPECT_EQ(json.at("plans").at(0).at("next_severity").as_string(), "tightened");
    EXPECT_EQ(sheet_of({standing()}).tables.at(0).rows.size(), 14u);
}

// Chosen before inspection stopped, told after it had gone on: it counts after that.
TEST_F(Sampled, ResultsCountInTheOrderThatTheyWereTold) {
    const auto early = sample("L-0", 1000);
    for (int i = 1; i < 8; ++i) lot("L-" + std::to_string(i), 9);
    ASSERT_EQ(standing().switching.severity(), quality::Severity::stopped);
    ASSERT_TRUE(support::await(
        context_, ledger.ledger().resume_sampling(standing().plan.id,
                                                  {0, support::at_second(30), "qa", "new glue"})));
    for (int i = 8; i < 12; ++i) tell(sample("L-" + std::to_string(i), 1000), 0, 40);
    EXPECT_EQ(standing().switching.severity(), quality::Severity::tightened);
    tell(early, 0, 50);
    EXPECT_EQ(standing().switching.severity(), quality::Severity::normal) << "five in a row";
}

TEST_F(Sampled, AreToldWhichQualityLimitsThereAre) {
    EXPECT_EQ(quality_limits_words(),
              "An AQL is one of 0.01, 0.015, 0.025, 0.04, 0.065, 0.1, 0.15, 0.25, 0.4, 0.65, 1, "
              "1.5, 2.5, 4, 6.5 and 10 %.");
    EXPECT_TRUE(is_quality_limit(0.65));
    EXPECT_FALSE(is_quality_limit(0.7));
}

TEST_F(Sampled, ResultsAreKeptOnceAndWithAName) {
    const auto lot = sample("L-1", 30);
    EXPECT_EQ(lot.sample, 13u) << "letter D goes down to E: 13 and 0";
    auto result = result_of(standing().plan, lot, 99, "qa", support::at_second(20));
    EXPECT_FALSE(support::await(context_, ledger.ledger().keep_sampling_result(result)));
    result.nonconforming = 0;
    result.who.clear();
    EXPECT_FALSE(support::await(context_, ledger.ledger().keep_sampling_result(result)));
    tell(lot, 0);
    result.who = "qa";
    EXPECT_FALSE(support::await(context_, ledger.ledger().keep_sampling_result(result)));
    EXPECT_TRUE(accepted(standing().plan.lots.back()));
}

TEST_F(Sampled, ProgramsGetEveryPlanWithItsLotsInOneTable) {
    tell(sample("L-1", 1000), 1);
    sample("L-2", 500);
    record::SamplingPlan other = standing().plan;
    other.step = "wet";
    other.lots.clear();
    ASSERT_TRUE(support::await(context_, ledger.ledger().keep_sampling_plan(other)));
    const auto table = sampling_rows(sampling_answer(ledger.reader(), "", "").value());
    ASSERT_EQ(table.rows.size(), 3u);
    for (const auto& row : table.rows) ASSERT_EQ(row.size(), table.columns.size());
    EXPECT_EQ(table.rows[0][1].text + table.rows[0][5].text, "hoverL-1");
    EXPECT_EQ(table.rows[1][5].text, "L-2");
    EXPECT_EQ(table.rows[1][11].text, "") << "not told yet";
    EXPECT_EQ(table.rows[2][1].text + table.rows[2][5].text, "wet") << "a plan without a lot";
}

TEST_F(Sampled, PlansAreReplacedByNewerOnesOfTheStep) {
    auto plan = standing().plan;
    plan.quality_limit = 0.4;
    ASSERT_TRUE(support::await(context_, ledger.ledger().keep_sampling_plan(plan)));
    EXPECT_EQ(standing().plan.quality_limit, 0.4);
    EXPECT_TRUE(sampling_answer(ledger.reader(), "other", "").value().empty());
}

TEST_F(Sampled, PlansKeepWhatTheirStepWasRefusedForWhenTheyAreReplaced) {
    lot("L-1", 3);
    lot("L-2", 3);
    const auto waiting = sample("L-3", 1000);
    ASSERT_EQ(standing().switching.severity(), quality::Severity::tightened);
    ASSERT_TRUE(support::await(context_, ledger.ledger().keep_sampling_plan(standing().plan)));
    EXPECT_EQ(standing().switching.severity(), quality::Severity::tightened);
    EXPECT_EQ(sample("L-4", 1000).severity, "tightened");
    tell(waiting, 0);
    EXPECT_EQ(standing().plan.lots.size(), 4u);
    EXPECT_TRUE(accepted(standing().plan.lots.at(2)));
}

// Two of five lots refused tighten it, and five refused while tightened stop it (ISO 2859-1, from
// memory).
TEST_F(Sampled, SayWhatCameOfAResultAndWhatTheNextLotGets) {
    const auto said = [&](const std::string& name, std::uint64_t nonconforming) {
        lot(name, nonconforming);
        const auto plan = standing().plan;
        return result_sentence(plan, plan.lots.back());
    };
    EXPECT_EQ(said("L-1", 2),
              "Lot L-1: 2 of 80 units nonconforming, accepted. The next lot gets normal "
              "inspection.");
    EXPECT_EQ(
        said("L-2", 3),
        "Lot L-2: 3 of 80 units nonconforming, refused. The next lot gets normal inspection.");
    EXPECT_EQ(said("L-3", 3),
              "Lot L-3: 3 of 80 units nonconforming, refused. The next lot gets tightened "
              "inspection.");
    std::string last;
    for (int i = 4; i < 9; ++i) last = said("L-" + std::to_string(i), 9);
    EXPECT_NE(last.find("Inspection is stopped"), std::string::npos) << last;
    EXPECT_EQ(none_chosen_words("L-9"),
              "No units were chosen of lot 'L-9': F6 on the sheet Sampling chooses them, or "
              "padtrim sampling --lot --size.");
}

}  // namespace
}  // namespace padtrim::answers
