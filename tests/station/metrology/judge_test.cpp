#include "station/metrology/judge.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::Physics;
using metrology_test::SimulatedRun;
using record::Disposition;
using record::Verdict;
using testing::HasSubstr;

const language::Plan& plan() {
    static const language::PlanPtr demo = test_support::demo_plan();
    return *demo;
}

record::UnitResult judged(const record::Observations& seen) {
    return judge(plan(), plan().fixture.equipment, seen);
}

// The whole run of a unit, trims written as proposed.
SimulatedRun whole_run(const Physics& physics, std::uint64_t seed = 1) {
    SimulatedRun run(plan(), physics, seed);
    run.measure();
    const auto trims = propose_trims(plan(), plan().fixture.equipment, run.seen);
    if (!trims) return run;
    run.write_trims(trims->gain, trims->offset);
    run.power_cycle();
    run.verify();
    return run;
}

std::vector<record::CheckResult> failed(const record::UnitResult& result) {
    std::vector<record::CheckResult> checks;
    for (const auto& check : result.checks) {
        if (check.verdict != Verdict::pass) checks.push_back(check);
    }
    return checks;
}

TEST(Judge, ReleasesAGoodUnit) {
    const record::UnitResult result = judged(whole_run({}).seen);
    EXPECT_EQ(result.verdict, Verdict::pass) << result.reason;
    EXPECT_EQ(result.disposition, Disposition::released);
    EXPECT_EQ(result.next_step, "Scan the next unit.");
    EXPECT_THAT(result.reason, HasSubstr("smallest margin"));
    EXPECT_EQ(result.lines.size(), 16U);
    for (const auto& check : result.checks) EXPECT_GE(check.margin, 1.0) << check.check;
}

TEST(Judge, ReleasesAGoodUnitWhoseFilterRemembersTheStateBefore) {
    SimulatedRun run(plan(), {.filter = 0.5}, 1);
    run.identify();
    run.contacts("R2", 8);
    run.gain_and_offset();
    run.noise();
    run.touch();
    for (const char* step : {"contacts", "gain and offset", "noise", "touch"}) {
        EXPECT_EQ(judge_step(plan(), plan().fixture.equipment, run.seen, step).verdict,
                  Verdict::pass)
            << step;
    }
}

TEST(Judge, GivesTheSameResultToTheBit) {
    const auto seen = whole_run({.correlation = 0.4}).seen;
    EXPECT_EQ(judged(seen), judged(seen));
}

TEST(Judge, NamesTheGlueWhenOnlyTheFingerIsWeak) {
    SimulatedRun run(plan(), {.thick_glue_key = 7}, 3);
    run.measure();
    const auto result = judged(run.seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_EQ(result.disposition, Disposition::rework);
    EXPECT_EQ(result.next_step, "Set aside. Check the glue at key 8.");
    EXPECT_THAT(result.reason, HasSubstr("Touch response at key 8"));
}

TEST(Judge, NamesTheConnectorOfADeadChannel) {
    SimulatedRun run(plan(), {.dead_channel = 2}, 4);
    run.measure();
    const auto result = judged(run.seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_EQ(result.next_step, "Set aside. Check pin, connector and electrode at key 3.");
}

TEST(Judge, NamesBothChannelsOfAShort) {
    SimulatedRun run(plan(), {.shorted_with_next = 4}, 5);
    run.measure();
    const auto result = judged(run.seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_THAT(result.next_step, HasSubstr("short between key 5 and key 6"));
}

TEST(Judge, BlamesTheSupplyForNoiseOnAllChannels) {
    SimulatedRun run(plan(), {.noise = 14.0}, 6);
    run.measure();
    const auto result = judged(run.seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_EQ(result.next_step, "Set aside. Check the unit's supply.");
}

TEST(Judge, QuarantinesAUnitThatLostItsTrims) {
    const auto result = judged(whole_run({.trims_lost = true}).seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_EQ(result.disposition, Disposition::quarantined);
    EXPECT_THAT(result.reason, HasSubstr("Trims lost at power-off"));
    EXPECT_EQ(result.next_step,
              "Keep in quarantine: keep it apart, do not ship it. Check the unit's memory.");
}

TEST(Judge, GivesNoVerdictForAFaultAndNamesIt) {
    auto run = whole_run({});
    run.seen.faults.push_back({"verify", "no answer", "relay board", "The relay board is silent.",
                               record::Blame::fixture});
    const auto result = judged(run.seen);
    EXPECT_EQ(result.verdict, Verdict::no_verdict);
    EXPECT_EQ(result.disposition, Disposition::quarantined);
    EXPECT_EQ(result.reason, "The relay board is silent.");
}

TEST(Judge, LeavesAnAbortedUntouchedUnitUndecided) {
    SimulatedRun run(plan(), {}, 8);
    run.identify();
    run.contacts();
    run.seen.aborted = true;
    const auto result = judged(run.seen);
    EXPECT_EQ(result.verdict, Verdict::no_verdict);
    EXPECT_EQ(result.disposition, Disposition::undecided);
    EXPECT_EQ(result.next_step, "Run the unit again.");
}

TEST(Judge, GivesNoVerdictWhenAStepIsMissing) {
    SimulatedRun run(plan(), {}, 9);
    run.measure();
    const auto result = judged(run.seen);
    EXPECT_EQ(result.verdict, Verdict::no_verdict);
    EXPECT_EQ(result.reason, "Step write trims did not run to its end.");
}

TEST(Judge, FailsAUnitStoppedEarlyByAFailingStep) {
    SimulatedRun run(plan(), {.dead_channel = 0}, 10);
    run.identify();
    run.contacts();
    EXPECT_EQ(judge_step(plan(), plan().fixture.equipment, run.seen, "contacts").verdict,
              Verdict::fail);
    EXPECT_EQ(judge_step(plan(), plan().fixture.equipment, run.seen, "identify").verdict,
              Verdict::pass);
    EXPECT_EQ(judged(run.seen).verdict, Verdict::fail);
}

TEST(Judge, RefusesAnotherProductAndAWrongLabel) {
    SimulatedRun run(plan(), {}, 11);
    run.identify();
    run.seen.identity->product_code = 1;
    run.seen.identity->label = "D-2";
    const auto result = judged(run.seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_EQ(failed(result).size(), 2U);
    EXPECT_THAT(result.reason, HasSubstr("product code"));
}

TEST(Judge, SurvivesObservationsWithHoles) {
    const auto whole = whole_run({}).seen;
    for (std::size_t i = 0; i < whole.readings.size(); ++i) {
        auto seen = whole;
        seen.readings[i].scans.clear();
        EXPECT_EQ(judged(seen).checks.size() > 0, true);
        seen = whole;
        for (auto& scan : seen.readings[i].scans) scan.counts.resize(1);
        EXPECT_EQ(judged(seen).checks.size() > 0, true);
        seen = whole;
        seen.readings.erase(seen.readings.begin() + static_cast<std::ptrdiff_t>(i));
        EXPECT_EQ(judged(seen).checks.size() > 0, true);
    }
    auto seen = whole;
    seen.readings.clear();
    seen.touch_reports.clear();
    seen.trims.clear();
    EXPECT_EQ(judged(seen).verdict, Verdict::no_verdict);
    EXPECT_EQ(judged({}).verdict, Verdict::no_verdict);
}

TEST(Judge, GivesNoVerdictWithoutTheEquipmentRecord) {
    const auto seen = whole_run({}).seen;
    const auto result = judge(plan(), {}, seen);
    EXPECT_EQ(result.verdict, Verdict::no_verdict);
}

TEST(Judge, FailsAProductThatReportsAnotherKey) {
    auto seen = whole_run({}).seen;
    for (auto& report : seen.touch_reports) {
        if (report.step == "verify" && report.finger->touching && report.finger->key == "key 2") {
            report.reported[3] = true;
        }
    }
    const auto result = judged(seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_EQ(result.reason, "Touched at key 2, the product reports key 2 and key 4.");
}

TEST(Judge, IsInconclusiveWithinTheGuardBandAndDecidesBySimpleRule) {
    SimulatedRun run(plan(), {}, 12);
    run.measure();
    language::Plan tight = plan();
    auto& body = std::get<language::GainOffsetStep>(tight.recipe.steps[2].body);
    double gain = 1e9;
    for (const auto& line : judged(run.seen).lines) gain = std::min(gain, line.gain);
    body.gain = {CountsPerPicofarad(gain - 0.1), {}};
    body.offset = {};
    const auto verdict = [&] {
        return judge_step(tight, tight.fixture.equipment, run.seen, "gain and offset").verdict;
    };
    EXPECT_EQ(verdict(), Verdict::inconclusive);
    tight.recipe.decision.kind = language::DecisionKind::simple;
    EXPECT_EQ(verdict(), Verdict::pass);
    body.gain = {CountsPerPicofarad(gain + 0.1), {}};
    EXPECT_EQ(verdict(), Verdict::fail);
}

}  // namespace
}  // namespace padtrim::metrology
