// Touching in looks: what it saves, what it risks, and what it says under other limits.
#include "station/metrology/touch_sequence.hpp"

#include <algorithm>
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/metrology/judge.hpp"
#include "tests/station/metrology/touch_in_looks.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::Physics;
using metrology_test::responses;
using metrology_test::scans_touching;
using metrology_test::SimulatedRun;
using metrology_test::stopped;
using metrology_test::touch_plan;
using metrology_test::touched;
using record::Verdict;
using testing::HasSubstr;

TEST(TouchInLooks, PassesWellInsideWithAtMostHalfTheScans) {
    const auto plan = touch_plan(300.0, 400.0);  // the simulated touch is 350 counts
    double used = 0.0, of = 0.0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        const auto whole = touched(plan, {.noise = 20.0}, seed);
        const auto seen = stopped(plan, whole);
        used += scans_touching(seen);
        of += scans_touching(whole);
        for (const auto& check : responses(plan, seen)) {
            EXPECT_EQ(check.verdict, Verdict::pass) << check.note;
        }
    }
    EXPECT_LE(used, 0.5 * of);
}

TEST(TouchInLooks, AcceptsAResponseOnItsLimitNoMoreOftenThanStated) {
    for (const Physics& physics :
         {Physics{.noise = 5.0}, Physics{.noise = 5.0, .correlation = 0.5}}) {
        const auto plan = touch_plan(350.0, 1000.0);
        double accepted = 0.0, refused = 0.0, all = 0.0;
        for (std::uint64_t seed = 1; seed <= 250; ++seed) {
            const auto seen = stopped(plan, touched(plan, physics, seed));
            for (const auto& check : responses(plan, seen)) {
                all += 1.0;
                accepted += check.verdict == Verdict::pass ? 1.0 : 0.0;
                refused += check.verdict == Verdict::fail ? 1.0 : 0.0;
            }
        }
        // The stated 0.025 and four standard deviations of its count.
        const double most = 0.025 + 4.0 * std::sqrt(0.025 * 0.975 / all);
        EXPECT_GE(all, 2000.0);
        EXPECT_LE(accepted / all, most);
        EXPECT_LE(refused / all, most);
    }
}

// A finger that brings noise is known by the touched readings alone.
TEST(TouchResponse, OnItsLimitKeepsItsRiskWhenTheFingerBringsNoise) {
    for (const double finger_noise : {1.0, 2.0, 4.0}) {
        auto plan = touch_plan(350.0, 1000.0);
        auto& body = std::get<language::TouchStep>(plan.recipe.steps[0].body);
        body.scans = 8;
        body.looks = 1;
        double accepted = 0.0, all = 0.0;
        for (std::uint64_t seed = 1; seed <= 400; ++seed) {
            SimulatedRun run(plan, {.noise = 4.0, .finger_noise = finger_noise}, seed);
            run.touch(8);
            for (const auto& check : responses(plan, run.seen)) {
                all += 1.0;
                accepted += check.verdict == Verdict::pass ? 1.0 : 0.0;
            }
        }
        const double most = 0.025 + 4.0 * std::sqrt(0.025 * 0.975 / all);
        EXPECT_LE(accepted / all, most) << finger_noise;
        EXPECT_GE(accepted / all, 0.012) << finger_noise;
    }
}

// A filter's memory can be taken out of four scans or more; fewer say nothing.
TEST(TouchInLooks, DecideNothingFromScansTooFewForTheFiltersMemory) {
    for (const double filter : {0.5, 0.8}) {
        for (const unsigned scans : {8U, 12U}) {
            auto good = touch_plan(250.0, 500.0), bad = touch_plan(100.0, 300.0);
            for (auto* plan : {&good, &bad}) {
                auto& body = std::get<language::TouchStep>(plan->recipe.steps[0].body);
                body.scans = scans;
                body.looks = 4;
            }
            SimulatedRun run(good, {.filter = filter}, 11);
            run.touch(scans);
            for (const auto& check : responses(good, run.seen))
                EXPECT_EQ(check.verdict, Verdict::pass) << filter << " " << scans << check.note;
            for (const auto& check : responses(bad, run.seen))
                EXPECT_EQ(check.verdict, Verdict::fail) << filter << " " << scans << check.note;
        }
    }
}

TEST(TouchInLooks, IsUndeterminedUnderLimitsThatTheScansDoNotSufficeFor) {
    const auto plan = touch_plan(250.0, 500.0);
    const auto whole = touched(plan, {.noise = 10.0}, 5);
    const auto seen = stopped(plan, whole);
    ASSERT_LT(scans_touching(seen), scans_touching(whole));
    const auto as_run = responses(plan, seen);
    const auto narrow = touch_plan(as_run[0].value - 5.0, 500.0);
    const auto changed = responses(narrow, seen);
    EXPECT_EQ(changed[0].verdict, Verdict::inconclusive);
    EXPECT_THAT(changed[0].note, HasSubstr("undetermined after 4 of 16 scans"));
    const auto result = judge(narrow, narrow.fixture.equipment, seen);
    EXPECT_NE(result.verdict, Verdict::pass);
    // Limits that the scans do suffice for are decided either way.
    EXPECT_EQ(responses(touch_plan(200.0, 600.0), seen)[0].verdict, Verdict::pass);
    EXPECT_EQ(responses(touch_plan(450.0, 600.0), seen)[0].verdict, Verdict::fail);
}

TEST(TouchInLooks, WithAllScansTakenIsInconclusiveNearALimitAndNotUndetermined) {
    const auto plan = touch_plan(350.0, 1000.0);
    const auto seen = touched(plan, {.noise = 5.0}, 3);
    const auto checks = responses(plan, seen);
    const auto doubtful = std::find_if(checks.begin(), checks.end(), [](const auto& check) {
        return check.verdict == Verdict::inconclusive;
    });
    ASSERT_NE(doubtful, checks.end());
    EXPECT_THAT(doubtful->note, HasSubstr("too close to"));
}

TEST(TouchInLooks, IsNotDecidedByNothing) {
    const auto plan = touch_plan(250.0, 500.0);
    const auto& equipment = plan.fixture.equipment;
    const auto whole = touched(plan, {}, 1);
    EXPECT_TRUE(touch_decided(plan, equipment, whole, "touch", "key 1"));
    EXPECT_FALSE(touch_decided(plan, equipment, whole, "another step", "key 1"));
    EXPECT_FALSE(touch_decided(plan, equipment, whole, "touch", "no such key"));
    EXPECT_FALSE(touch_decided(plan, equipment, {}, "touch", "key 1"));
}

}  // namespace
}  // namespace padtrim::metrology
