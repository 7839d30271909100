// Limits proposed from stored values whose distribution is known.
#include "station/answers/limit_proposals.hpp"

#include <algorithm>
#include <cmath>

#include <boost/json/array.hpp>
#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "recipes/language/load.hpp"
#include "tests/support/await.hpp"
#include "tests/support/demo_documents.hpp"
#include "tests/support/lot_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::answers {
namespace {

// Units with one value of "gain" a key; 20.5 is the smallest and 20.5 + n - 1 the largest at K1, K2
// is 100 above.
class LimitProposalsOf : public ::testing::Test {
  protected:
    void store(int units, double standard = 0.01, std::optional<double> high = 500.0) {
        boost::asio::io_context context;
        const auto ledger = std::move(
            ledger::Ledger::open(file_, context.get_executor(), ledger::Writing::inline_calls)
                .value());
        const auto lot = support::await(context, ledger->open_lot(start_)).value();
        for (int i = 0; i < units; ++i) {
            const int place = (i * 37) % units;  // not in the order of their values
            auto unit = support::sample_unit();
            record::CheckResult check = unit.result.checks.at(0);
            check.step = step_;
            check.check = check_;
            unit.result.checks.clear();
            for (const std::string key : {"K1", "K2"}) {
                check.key = key;
                check.value = 20.5 + place + (key == "K2" ? 100.0 : 0.0);
                check.standard_uncertainty = standard;
                check.coverage_factor = 2.0;
                check.low = low_;
                check.high = high;
                unit.result.checks.push_back(check);
            }
            const auto run = support::await(
                context, ledger->start_run(support::sample_run(lot, "U" + std::to_string(i + 1))));
            ASSERT_TRUE(support::await(context, ledger->finish(run.value(), unit)));
        }
    }
    LimitProposals proposals(double content, double confidence) {
        const auto reader = std::move(ledger::Reader::open(file_).value());
        ProposalWish wish;
        wish.aim = {content, confidence};
        return propose_limits(*reader, wish).value();
    }

    record::LotStart start_ = support::sample_lot();
    std::string step_ = "gain and offset", check_ = "gain";
    std::optional<double> low_ = 0.0;
    support::TemporaryFolder folder_;
    const std::string file_ = folder_.file("lots.sqlite");
};

// ISO 16269-6, from memory: 93 values give both limits at 95 %, 95 %, from the extremes.
TEST_F(LimitProposalsOf, StandAtTheExtremesOfTheSmallestSampleThatAllowsIt) {
    store(93);
    const auto answer = proposals(0.95, 0.95);
    ASSERT_EQ(answer.checks.size(), 3U);  // both keys, K1, K2
    const ProposedLimits& first = answer.checks[1];
    EXPECT_EQ(first.key, "K1");
    ASSERT_TRUE(first.distribution_free);
    EXPECT_NEAR(*first.distribution_free->limits.low, 20.5, 0.5);
    EXPECT_LE(*first.distribution_free->limits.low, 20.5);
    EXPECT_GE(*first.distribution_free->limits.high, 112.5);
    EXPECT_NEAR(*answer.checks[0].distribution_free->limits.high, 212.5, 1.5);
    EXPECT_EQ(answer.checks[0].wanted, 93U);
}

TEST_F(LimitProposalsOf, SayHowManyUnitsTheyWant) {
    store(92);
    const auto answer = proposals(0.95, 0.95);
    for (const auto& line : answer.checks) {
        EXPECT_FALSE(line.distribution_free);
        EXPECT_TRUE(line.normal);
        EXPECT_EQ(line.wanted, 93U);
    }
}

TEST_F(LimitProposalsOf, StandKStandardDeviationsFromTheMean) {
    store(20);
    const auto answer = proposals(0.95, 0.95);
    // 20 equally spaced values: mean 30, s = sqrt(20 * 21 / 12); k = 2.760 (ISO 16269-6, from
    // memory).
    const double reach = 2.760 * std::sqrt(20.0 * 21.0 / 12.0);
    const LimitPair& limits = answer.checks[1].normal->limits;
    EXPECT_NEAR(*limits.low, 30.0 - reach, 0.2);
    EXPECT_NEAR(*limits.high, 30.0 + reach, 0.2);
    EXPECT_LE(*limits.low, 30.0 - reach + 0.01);
    EXPECT_EQ(answer.checks[1].normal->units.pass, 20U);
    EXPECT_EQ(answer.checks[1].normal->text, "13.6 to 46.4 counts/pF");
}

// With hardly any doubt what is bad is the normal distribution's tail, and little of it passes.
TEST_F(LimitProposalsOf, TellTheRiskOfTheLimitsInForce) {
    low_ = 0.0;
    store(93);
    const auto answer = proposals(0.95, 0.95);
    const auto& key = answer.checks[1];
    ASSERT_TRUE(key.risk);
    const double deviations = 66.5 / std::sqrt(93.0 * 94.0 / 12.0);
    const double tail = 0.5 * std::erfc(deviations / std::sqrt(2.0));
    EXPECT_NEAR(key.risk->nonconforming, tail, 1e-6);
    EXPECT_GT(key.risk->consumer, 0.0);
    EXPECT_LT(key.risk->consumer, 1e-3 * tail);
    EXPECT_GE(answer.checks[0].risk->consumer, key.risk->consumer);
    EXPECT_NEAR(to_json(answer)
                    .at("checks")
                    .at(1)
                    .at("stored_risk")
                    .at("nonconforming")
                    .to_number<double>(),
                tail, 1e-6);
}

// A unit that came again in a later lot is no second unit, and drafts are told.
TEST_F(LimitProposalsOf, CountAUnitOnceWhateverItsLots) {
    store(12);
    start_.lot = "L-2";
    store(12);
    const auto answer = proposals(0.5, 0.5);
    EXPECT_EQ(answer.units, 12U);
    EXPECT_EQ(answer.checks[1].spread.values, 12U);
    EXPECT_EQ(answer.checks[1].normal->units.units(), 12U);
    EXPECT_EQ(answer.drafts, 0U);
}

TEST_F(LimitProposalsOf, TellDraftsAndLeaveThemOutWhenWished) {
    store(12);
    start_.lot = "L-2";
    start_.permission.kind = record::PermissionKind::draft;
    store(12);
    EXPECT_EQ(proposals(0.5, 0.5).drafts, 12U);
    const auto reader = std::move(ledger::Reader::open(file_).value());
    ProposalWish wish;
    wish.filter.released = true;
    EXPECT_EQ(propose_limits(*reader, wish).value().drafts, 0U);
    EXPECT_EQ(propose_limits(*reader, wish).value().units, 12U);
}

TEST_F(LimitProposalsOf, TellNoRiskWithoutLimits) {
    low_ = {};
    store(93, 0.01, {});
    EXPECT_FALSE(proposals(0.95, 0.95).checks[1].risk);
}

TEST_F(LimitProposalsOf, KeepTheSidesOfTheLimitsInForce) {
    store(60, 0.01, std::nullopt);
    const auto answer = proposals(0.95, 0.95);
    EXPECT_FALSE(answer.checks[0].normal->limits.high);
    EXPECT_TRUE(answer.checks[0].normal->limits.low);
    ASSERT_TRUE(answer.checks[1].distribution_free) << "59 values are enough for one side";
    EXPECT_EQ(answer.checks[1].distribution_free->text.substr(0, 8), "at least");
}

TEST_F(LimitProposalsOf, HaveTheSideOfTheCheckWhereNoneAreInForce) {
    const auto plan =
        language::make_plan(test_support::demo_recipe(), test_support::demo_register_map(),
                            test_support::demo_fixture_profile());
    start_.plan_hash = plan->hash;
    start_.plan_text = language::plan_text(*plan);
    step_ = "contacts";
    check_ = "isolation";
    low_.reset();
    store(60, 0.01, std::nullopt);
    const auto answer = proposals(0.95, 0.95);
    ASSERT_TRUE(answer.plan);
    ASSERT_TRUE(answer.checks.at(0).normal);
    EXPECT_TRUE(answer.checks[0].normal->limits.high) << "the smaller the better";
    EXPECT_FALSE(answer.checks[0].normal->limits.low);
}

// The default rule is guarded: two standard uncertainties are taken in from a limit again.
TEST_F(LimitProposalsOf, LeaveRoomForTheGuardBand) {
    store(93, 2.0);
    const auto answer = proposals(0.95, 0.95);
    const Proposal& made = *answer.checks[1].distribution_free;
    EXPECT_NEAR(*made.limits.low, 20.5 - 4.0, 1.0);
    EXPECT_NEAR(*made.limits.high, 112.5 + 4.0, 1.0);
    EXPECT_EQ(made.units.pass, 93U);
    // The limits in force, 0 to 500, are far away.
    EXPECT_EQ(answer.checks[1].under_stored.pass, 93U);
}

// Five tries share the risk: 0.5 % each, 2.576 standard uncertainties instead of 1.960; of four
// looks at a touch 0.625 %, 2.498 (normal distribution).
class LimitProposalsOfShares : public LimitProposalsOf {
  protected:
    void expect_guard(const char* step, const char* check, double factor) {
        auto recipe = test_support::demo_recipe();
        for (auto& each : recipe.steps) {
            if (each.name == "gain and offset") each.retries = 4;
            if (auto* touch = std::get_if<language::TouchStep>(&each.body)) touch->looks = 4;
        }
        const auto plan = language::make_plan(recipe, test_support::demo_register_map(),
                                              test_support::demo_fixture_profile());
        start_.plan_hash = plan->hash;
        start_.plan_text = language::plan_text(*plan);
        step_ = step;
        check_ = check;
        store(93, 10.0);
        const auto answer = proposals(0.95, 0.95);
        ASSERT_EQ(answer.checks.at(1).check, check_);
        const Proposal& made = *answer.checks[1].distribution_free;
        const double guard = 2.0 * 10.0 * factor / 1.960;
        EXPECT_NEAR(*made.limits.low, 20.5 - guard, 1.6);
        EXPECT_NEAR(*made.limits.high, 112.5 + guard, 1.6);
    }
};

TEST_F(LimitProposalsOfShares, LeaveRoomForTheRiskOfOneTry) {
    expect_guard("gain and offset", "gain", 2.576);
}

TEST_F(LimitProposalsOfShares, LeaveRoomForTheRiskOfOneLook) {
    expect_guard("touch", "touch response", 2.498);
}

TEST_F(LimitProposalsOf, NothingAreNothing) {
    store(3);
    const auto few = proposals(0.95, 0.95);
    for (const auto& line : few.checks) EXPECT_FALSE(line.normal) << "three values are too few";
    const auto json = to_json(few);
    EXPECT_TRUE(json.at("checks").at(0).at("normal").is_null());
}

}  // namespace
}  // namespace padtrim::answers
