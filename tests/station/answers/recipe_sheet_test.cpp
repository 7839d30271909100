#include "station/answers/recipe_sheet.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "recipes/language/load.hpp"
#include "tests/station/answers/noise_plans.hpp"
#include "tests/support/await.hpp"
#include "tests/support/demo_documents.hpp"
#include "tests/support/lot_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::answers {
namespace {

using support::at_second;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

language::PlanPtr plan_with(double noise, const std::string& revision) {
    return test_support::plan_with_noise(noise, revision);
}

class OwnRecipe : public ::testing::Test {
  protected:
    std::int64_t release(const language::PlanPtr& plan) {
        const auto draft =
            draft_release(reader_->releases().value(), *plan, "M", "trial lot", at_second(1));
        return support::await(context_, ledger_->release(draft.release.value())).value();
    }
    void permit(const language::PlanPtr& plan, std::uint32_t quantity) {
        const auto draft =
            draft_permit(reader_->releases().value(), reader_->permits().value(), *plan,
                         {"wider", "E", "batch 17", at_second(50), quantity}, at_second(2));
        ASSERT_TRUE(support::await(context_, ledger_->permit(draft.permit.value())));
    }
    RecipeSheet sheet(const language::PlanPtr& plan, int second = 10) {
        return recipe_sheet(*reader_, *plan, at_second(second)).value();
    }

    boost::asio::io_context context_;
    support::TemporaryFolder folder_;
    const std::string path_ = folder_.file("lots.sqlite");
    std::unique_ptr<ledger::Ledger> ledger_ = std::move(
        ledger::Ledger::open(path_, context_.get_executor(), ledger::Writing::inline_calls)
            .value());
    std::unique_ptr<ledger::Reader> reader_ = std::move(ledger::Reader::open(path_).value());
    language::PlanPtr first_ = plan_with(5.0, "A"), second_ = plan_with(7.0, "B");
};

TEST_F(OwnRecipe, HasNothingToBeComparedWithAtFirst) {
    const auto told = sheet(first_);
    EXPECT_FALSE(told.standing.granted());
    EXPECT_FALSE(told.before);
    EXPECT_THAT(told.changes, IsEmpty());
    EXPECT_EQ(told.no_release, "");
    EXPECT_THAT(told.no_permit, HasSubstr("no release to deviate from"));
}

TEST_F(OwnRecipe, TellsWhatChangedSinceTheReleaseBefore) {
    const auto number = release(first_);
    const auto told = sheet(second_);
    EXPECT_EQ(told.before, number);
    bool widened = false;
    for (const auto& change : told.changes)
        widened |= change.kind == language::ChangeKind::limit_widened && change.place.size() > 0;
    EXPECT_TRUE(widened);
    EXPECT_EQ(told.no_release, "");
    EXPECT_EQ(told.no_permit, "");
    EXPECT_THAT(told.releases, SizeIs(1));
}

TEST_F(OwnRecipe, IsReleasedOnceAndNeedsNoPermitThen) {
    release(first_);
    const auto told = sheet(first_);
    EXPECT_TRUE(told.standing.granted());
    EXPECT_THAT(told.no_release, HasSubstr("released already"));
    EXPECT_THAT(told.no_permit, HasSubstr("no permit is needed"));
    EXPECT_THAT(told.changes, IsEmpty());
}

TEST_F(OwnRecipe, SaysWhyAPermitLetsNothingThroughAnyMore) {
    const auto number = release(first_);
    permit(second_, 3);
    auto told = sheet(second_);
    ASSERT_THAT(told.permits, SizeIs(1));
    EXPECT_EQ(told.permits[0].over, "");
    EXPECT_THAT(told.no_permit, HasSubstr("lets this plan through already"));
    told = sheet(second_, 50);
    EXPECT_THAT(told.permits[0].over, HasSubstr("ended on"));
    EXPECT_EQ(told.no_permit, "");
    ASSERT_TRUE(support::await(context_, ledger_->withdraw(number, "M", "wrong", at_second(11))));
    told = sheet(second_, 12);
    EXPECT_THAT(told.permits[0].over, HasSubstr("which was withdrawn"));
}

TEST_F(OwnRecipe, OffersTheStepsThatCanBeRunAlone) {
    std::size_t offered = 0;
    for (const auto& offer : sheet(first_).steps) {
        const bool writes =
            offer.kind == "write trims" || offer.kind == "verify" || offer.kind == "power cycle";
        EXPECT_EQ(offer.not_alone.empty(), !writes) << offer.step;
        offered += offer.not_alone.empty() ? 1 : 0;
    }
    EXPECT_GT(offered, 3U);
}

}  // namespace
}  // namespace padtrim::answers
