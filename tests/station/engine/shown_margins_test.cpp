// What a unit shows while it runs, on the virtual bench.
#include "station/engine/shown_margins.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "station/metrology/nearest_checks.hpp"
#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::engine::testing {
namespace {

record::CheckResult at(const std::string& key, double margin) {
    record::CheckResult check;
    check.key = key;
    check.margin = margin;
    check.verdict = record::Verdict::pass;
    check.expanded_uncertainty = 1.0;
    return check;
}

TEST(ShownMargins, LookAtAKeyOnceItIsSaidAgainOrLeft) {
    ShownMargins shown;
    EXPECT_FALSE(shown.says("1"));  // nothing was read there yet
    EXPECT_TRUE(shown.says("1"));
    EXPECT_TRUE(shown.says("2"));
    EXPECT_TRUE(shown.says(""));
    EXPECT_FALSE(shown.says(""));
    EXPECT_FALSE(shown.says("1"));
    shown.begin();
    EXPECT_FALSE(shown.says("2"));
}

TEST(ShownMargins, KeepTheNearestOfAllStepsThatEnded) {
    ShownMargins shown;
    shown.step_ended({at("1", 2.0), at("2", 1.0)});
    shown.step_ended({at("1", 0.5), at("2", 3.0)});
    ASSERT_EQ(shown.nearest().size(), 2U);
    EXPECT_DOUBLE_EQ(shown.nearest()[0].margin, 0.5);
    EXPECT_DOUBLE_EQ(shown.nearest()[1].margin, 1.0);
    shown.begin();
    EXPECT_TRUE(shown.nearest().empty());
}

class MarginsOnBench : public ::testing::Test {
  protected:
    // The glue is thick at key 3.
    static bench::BenchOptions one_bad_unit() {
        bench::BenchOptions options;
        options.units = 1;
        options.defects.placed.push_back({1, bench::DefectKind::thick_glue, 2});
        return options;
    }
    static language::PlanPtr in_looks() {
        language::Plan plan = quick_plan();
        auto& touch = body_of<language::TouchStep>(plan);
        touch.scans = 16;
        touch.looks = 4;
        return std::make_shared<const language::Plan>(std::move(plan));
    }
    // All that is said, and of each telling the step and key that were said last before it.
    struct Told {
        std::string step, key;
        std::vector<record::CheckResult> nearest;
    };
    static std::vector<Told> told(const BenchRig& rig) {
        std::vector<Told> all;
        std::string step, key;
        std::vector<record::CheckResult> nearest;
        for (const Event& event : rig.events) {
            if (const auto* now = std::get_if<StepProgress>(&event)) {
                step = now->step;
                key = now->key;
            } else if (const auto* judged = std::get_if<KeysJudged>(&event)) {
                for (const auto& check : judged->nearest) {
                    std::erase_if(nearest, [&](const auto& old) { return old.key == check.key; });
                    nearest.push_back(check);
                }
                EXPECT_FALSE(judged->nearest.empty()) << "no news";
                all.push_back({step, key, nearest});
            }
        }
        return all;
    }
    static const record::CheckResult* of(const std::vector<record::CheckResult>& checks,
                                         const std::string& key) {
        const auto found = std::find_if(checks.begin(), checks.end(),
                                        [&](const auto& check) { return check.key == key; });
        return found == checks.end() ? nullptr : &*found;
    }
};

TEST_F(MarginsOnBench, AreThoseOfTheVerdictWhenTheUnitEnds) {
    BenchRig rig(in_looks(), one_bad_unit());
    EXPECT_EQ(rig.run().count.fail, 1U);
    const auto all = told(rig);
    ASSERT_FALSE(all.empty());
    const auto& result = rig.journal.runs.at(0).unit->result;
    const auto wanted = metrology::nearest_checks(result.checks);
    ASSERT_EQ(all.back().nearest.size(), wanted.size());
    for (const auto& last : wanted) {
        const auto* shown = of(all.back().nearest, last.key);
        ASSERT_NE(shown, nullptr) << last.key;
        EXPECT_EQ(shown->check, last.check);
        EXPECT_EQ(shown->verdict, last.verdict);
        // A step that is judged when it ends does not know what later ones find of the gain.
        EXPECT_NEAR(shown->margin, last.margin, 1e-3);
    }
}

TEST_F(MarginsOnBench, FailAKeyWhileTheFingerIsOnIt) {
    BenchRig rig(in_looks(), one_bad_unit());
    rig.run();
    bool touched = false;
    for (const Told& now : told(rig)) {
        const auto* key = of(now.nearest, "key 3");
        const bool fails = key != nullptr && key->verdict == record::Verdict::fail;
        const bool on_it = now.step == "touch" && now.key == "key 3";
        if (!touched) {
            EXPECT_TRUE(on_it || !fails) << now.step << ", " << now.key;
        }
        if (on_it && fails) {
            touched = true;
            EXPECT_EQ(key->check, "touch response");
        }
        const auto* good = of(now.nearest, "key 1");
        EXPECT_TRUE(good == nullptr || good->verdict != record::Verdict::fail) << good->check;
    }
    EXPECT_TRUE(touched);
}

TEST_F(MarginsOnBench, ForgetAnAttemptThatIsMadeAgain) {
    language::Plan plan = *in_looks();
    for (auto& step : plan.recipe.steps) step.retries = step.name == "touch" ? 1 : 0;
    BenchRig rig(std::make_shared<const language::Plan>(std::move(plan)), one_bad_unit());
    rig.run();
    unsigned fell = 0;  // from failed back to what earlier steps said
    bool failed = false;
    for (const Told& now : told(rig)) {
        const auto* key = of(now.nearest, "key 3");
        const bool fails = key != nullptr && key->verdict == record::Verdict::fail;
        fell += failed && !fails;
        failed = fails;
    }
    EXPECT_EQ(fell, 1U);
    EXPECT_TRUE(failed);
}

}  // namespace
}  // namespace padtrim::engine::testing
