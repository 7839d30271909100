// By what right a plan runs.
#include "station/answers/releases.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "recipes/language/load.hpp"
#include "station/answers/start_report.hpp"
#include "tests/station/answers/noise_plans.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::answers {
namespace {

using record::PermissionKind;
using support::at_second;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

language::PlanPtr demo_of(double noise = 5.0, const std::string& revision = "A") {
    return test_support::plan_with_noise(noise, revision);
}

class Releases : public ::testing::Test {
  protected:
    ReleaseDraft draft_of(const language::PlanPtr& plan) {
        return draft_release(reader_->releases().value(), *plan, "M", "trial lot", at_second(1));
    }
    std::int64_t release(const language::PlanPtr& plan) {
        const auto draft = draft_of(plan);
        return support::await(context_, ledger_->release(draft.release.value())).value();
    }
    PermitDraft permit_of(const language::PlanPtr& plan, std::optional<record::WallTime> until,
                          std::optional<std::uint32_t> quantity) {
        return draft_permit(reader_->releases().value(), reader_->permits().value(), *plan,
                            {"wider noise", "M", "batch 17", until, quantity}, at_second(2));
    }
    Standing standing(const language::PlanPtr& plan, bool draft = false, int second = 10) {
        return standing_of(*reader_, *plan, draft, at_second(second)).value();
    }

    boost::asio::io_context context_;
    support::TemporaryFolder folder_;
    const std::string path_ = folder_.file("lots.sqlite");
    std::unique_ptr<ledger::Ledger> ledger_ = std::move(
        ledger::Ledger::open(path_, context_.get_executor(), ledger::Writing::inline_calls)
            .value());
    std::unique_ptr<ledger::Reader> reader_ = std::move(ledger::Reader::open(path_).value());
};

TEST_F(Releases, LetExactlyThatPlanRun) {
    EXPECT_FALSE(standing(demo_of()).granted());
    const auto number = release(demo_of());
    EXPECT_EQ(standing(demo_of()).permission,
              (record::Permission{PermissionKind::released, number}));
    const Standing other = standing(demo_of(8.0));
    EXPECT_FALSE(other.granted());
    EXPECT_THAT(other.sentence, HasSubstr("differs from release 1 (revision A) by 1 change"));
    EXPECT_THAT(other.sentence, HasSubstr("padtrim release"));
    EXPECT_THAT(on_a_page(other),
                AllOf(HasSubstr("1 change"), HasSubstr("/plan, F6"), Not(HasSubstr("padtrim "))));
    EXPECT_EQ(on_a_page(standing(demo_of())), standing(demo_of()).sentence);
}

TEST_F(Releases, AreTheOneThingToDoBeforeALotOfAPlanWithoutOne) {
    const auto report_of = [&](const language::PlanPtr& plan) {
        return start_report(*reader_, *plan, "station", {}, at_second(10));
    };
    EXPECT_EQ(before_start("Start a lot.", report_of(demo_of())), "Have the plan released.");
    EXPECT_EQ(before_start("Nest 1: Set aside.", report_of(demo_of())), "Nest 1: Set aside.");
    release(demo_of());
    EXPECT_EQ(before_start("Start a lot.", report_of(demo_of())), "Start a lot.");
}

TEST_F(Releases, ComeAfterAnOpenGuardAndASilentPort) {
    const auto report_of = [&](engine::RestFinding found) {
        return start_report(*reader_, *demo_of(), "station", trouble_of(found), at_second(10));
    };
    const StartReport open = report_of({engine::AtRest::guard_open, ""});
    EXPECT_EQ(before_start("Start a lot.", open),
              "Close the guard, hands out; then a lot can start.");
    EXPECT_EQ(before_start("Nest 1: Set aside.", open), "Nest 1: Set aside.");
    EXPECT_FALSE(open.free_as_draft());
    EXPECT_THAT(before_start("Start a lot.", report_of({engine::AtRest::stop_pressed, ""})),
                HasSubstr("Release the emergency stop once nobody is in danger"));
    EXPECT_EQ(before_start("Start a lot.", report_of({engine::AtRest::clear, "No answer."})),
              "No answer.");
}

TEST_F(Releases, EndWhenWithdrawn) {
    const auto number = release(demo_of());
    ASSERT_TRUE(support::await(context_, ledger_->withdraw(number, "M", "wrong", at_second(3))));
    EXPECT_FALSE(standing(demo_of()).granted());
    EXPECT_TRUE(draft_of(demo_of()).release) << "may be released again";
}

TEST_F(Releases, WantANewRevisionForAChangedRecipe) {
    release(demo_of());
    EXPECT_THAT(draft_of(demo_of()).problem, HasSubstr("released already"));
    const auto same = draft_of(demo_of(8.0));
    EXPECT_FALSE(same.release);
    EXPECT_THAT(same.problem, HasSubstr("new revision"));
    const auto next = draft_of(demo_of(8.0, "B"));
    ASSERT_TRUE(next.release) << next.problem;
    EXPECT_EQ(next.before, 1);
    ASSERT_EQ(next.changes.size(), 2U);  // the revision, the limit
    EXPECT_EQ(next.changes[1].kind, language::ChangeKind::limit_widened);
}

TEST_F(Releases, WantANewRevisionForAChangedRegisterMapOrFixture) {
    release(demo_of());
    language::Recipe recipe = test_support::demo_recipe();
    recipe.revision = "B";
    auto map = test_support::demo_register_map();
    map.boot_time += std::chrono::milliseconds(100);
    const auto other_map =
        draft_of(language::make_plan(recipe, map, test_support::demo_fixture_profile()));
    EXPECT_THAT(other_map.problem, HasSubstr("of register map "));
    map.revision = "next";
    EXPECT_TRUE(
        draft_of(language::make_plan(recipe, map, test_support::demo_fixture_profile())).release);
    auto fixture = test_support::demo_fixture_profile();
    fixture.series_resistor = fixture.series_resistor + Ohm(100.0);
    const auto other_fixture =
        draft_of(language::make_plan(recipe, test_support::demo_register_map(), fixture));
    EXPECT_THAT(other_fixture.problem, HasSubstr("of fixture profile "));
}

TEST_F(Releases, TakeTheSameRecipeWithAnotherCertificate) {
    release(demo_of());
    auto fixture = test_support::demo_fixture_profile();
    fixture.equipment.certificate = "demo 2";
    const auto plan = language::make_plan(test_support::demo_recipe(),
                                          test_support::demo_register_map(), fixture);
    EXPECT_TRUE(draft_of(plan).release);
}

TEST_F(Releases, PermitsLetADeviationThroughUntilTheirEnd) {
    EXPECT_THAT(permit_of(demo_of(8.0), {}, 2).problem, HasSubstr("no release to deviate from"));
    release(demo_of());
    EXPECT_THAT(permit_of(demo_of(8.0), {}, {}).problem, HasSubstr("--until"));
    EXPECT_THAT(permit_of(demo_of(8.0), at_second(1), {}).problem, HasSubstr("past already"));
    EXPECT_THAT(permit_of(demo_of(), at_second(60), {}).problem, HasSubstr("does not deviate"));
    const auto draft = permit_of(demo_of(8.0), at_second(60), 2);
    ASSERT_TRUE(draft.permit) << draft.problem;
    EXPECT_THAT(draft.permit->changes.at(0), HasSubstr("widened"));
    ASSERT_TRUE(support::await(context_, ledger_->permit(*draft.permit)));

    EXPECT_THAT(permit_of(demo_of(8.0), at_second(60), 2).problem, HasSubstr("already"));

    const Standing inside = standing(demo_of(8.0), false, 59);
    EXPECT_EQ(inside.permission.kind, PermissionKind::permit);
    EXPECT_EQ(inside.left, 2U);
    EXPECT_EQ(inside.until, at_second(60));
    EXPECT_THAT(standing(demo_of(8.0), false, 60).sentence, HasSubstr("ended on"));
    EXPECT_FALSE(standing(demo_of(9.0)).granted()) << "only the change that was named";
}

TEST_F(Releases, PermitsEndWithTheirQuantityAndTheirRelease) {
    const auto number = release(demo_of());
    const auto draft = permit_of(demo_of(8.0), {}, 1);
    const auto permit = support::await(context_, ledger_->permit(*draft.permit)).value();
    auto start = support::sample_lot();
    const auto copy = copy_of(*demo_of(8.0));
    start.plan_hash = copy.hash;
    start.plan_text = copy.text;
    start.permission = {PermissionKind::permit, permit};
    EXPECT_TRUE(standing(demo_of(8.0)).granted());
    const auto lot = support::await(context_, ledger_->open_lot(start)).value();
    (void)support::await(context_, ledger_->start_run(support::sample_run(lot, "A")));
    EXPECT_THAT(standing(demo_of(8.0)).sentence, HasSubstr("has let its 1 unit through"));
    const auto more = permit_of(demo_of(8.0), {}, 5);
    ASSERT_TRUE(support::await(context_, ledger_->permit(*more.permit)));
    EXPECT_EQ(standing(demo_of(8.0)).left, 5U);
    ASSERT_TRUE(support::await(context_, ledger_->withdraw(number, "M", "wrong", at_second(3))));
    EXPECT_THAT(standing(demo_of(8.0)).sentence, HasSubstr("withdrawn"));
}

TEST_F(Releases, DraftsAreAlwaysDrafts) {
    release(demo_of());
    EXPECT_EQ(standing(demo_of(), true).permission.kind, PermissionKind::draft);
    EXPECT_TRUE(mixes({PermissionKind::draft, 0}, {PermissionKind::released, 1}));
    EXPECT_TRUE(mixes({PermissionKind::permit, 2}, {PermissionKind::draft, 0}));
    EXPECT_FALSE(mixes({PermissionKind::permit, 2}, {PermissionKind::released, 1}));
    EXPECT_FALSE(mixes({}, {PermissionKind::draft, 0})) << "before releases were kept";
}

TEST_F(Releases, AreComparedByNumberRevisionOrFile) {
    release(demo_of());
    release(demo_of(8.0, "B"));
    const auto by_number = changes_of(reader_.get(), "1", "2").value();
    EXPECT_EQ(by_number.changes.size(), 2U) << by_number.problem;
    const auto by_revision = changes_of(reader_.get(), "A", "B").value();
    EXPECT_EQ(by_revision.changes, by_number.changes);
    EXPECT_THAT(changes_of(reader_.get(), "A", "C").value().problem, HasSubstr("'C'"));
    EXPECT_THAT(changes_of(nullptr, "A", "B").value().problem, HasSubstr("--records"));
    const std::string root = PADTRIM_SOURCE_DIR;
    const auto files = changes_of(nullptr, root + "/fixtures/profiles/hob-line-4-nests.toml",
                                  root + "/fixtures/profiles/hob-bench-1-nest.toml")
                           .value();
    EXPECT_GT(files.changes.size(), 3U);
    EXPECT_THAT(changes_of(nullptr, root + "/fixtures/profiles/hob-line-4-nests.toml",
                           root + "/fixtures/units/hob-panel-8.toml")
                    .value()
                    .problem,
                HasSubstr("different kinds"));
}

}  // namespace
}  // namespace padtrim::answers
