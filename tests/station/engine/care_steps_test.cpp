// Steps of care on the virtual bench: what they observe, and what becomes of units they concern.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/metrology/judge.hpp"
#include "tests/station/engine/step_rig.hpp"

namespace padtrim::engine {
namespace {

using language::Unattended;
using record::Verdict;
using testing::Answering;
using ::testing::HasSubstr;
using testing::OneUnit;
using testing::plan_of;
using testing::step_of;
using namespace std::chrono_literals;

bench::BenchOptions with_defect(bench::DefectKind kind, std::uint16_t where) {
    bench::BenchOptions options;
    options.defects.placed = {{1, kind, where}};
    return options;
}

TEST(WaitStep, LetsItsTimePass) {
    OneUnit at_once(plan_of({}));
    at_once.run();
    OneUnit later(plan_of({step_of("wait", language::WaitStep{7s})}));
    EXPECT_EQ(later.run().result.verdict, Verdict::pass);
    EXPECT_NEAR(later.rig.seconds() - at_once.rig.seconds(), 7.0, 0.01);
}

language::AskStep question() {
    language::AskStep ask;
    ask.text = "Is the label straight?";
    ask.picture = "label.png";
    return ask;
}

TEST(AskStep, PassesOnTheExpectedAnswerAndKeepsIt) {
    OneUnit unit(plan_of({step_of("look", question())}));
    Answering person(unit.rig.clock, true);
    unit.rig.person = &person;
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::pass);
    ASSERT_EQ(person.asked.size(), 1U);
    EXPECT_EQ(person.asked[0].picture, "label.png");
    EXPECT_EQ(person.asked[0].serial, record.observations.identity->serial);
    ASSERT_EQ(record.observations.answers.size(), 1U);
    EXPECT_EQ(record.observations.answers[0].yes, true);
}

TEST(AskStep, TellsTheFacesWhatIsAsked) {
    OneUnit unit(plan_of({step_of("look", question())}));
    Answering person(unit.rig.clock, true);
    unit.rig.person = &person;
    unit.run();
    std::vector<std::string> asked;
    for (const Event& event : unit.rig.events)
        if (const auto* one = std::get_if<PersonAsked>(&event)) asked.push_back(one->question);
    EXPECT_EQ(asked, std::vector<std::string>{"Is the label straight?"});
}

TEST(AskStep, FailsOnTheOtherAnswer) {
    OneUnit unit(plan_of({step_of("look", question())}));
    Answering person(unit.rig.clock, false);
    unit.rig.person = &person;
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_THAT(record.result.reason, HasSubstr("answered no: Is the label straight?"));
}

TEST(AskStep, GivesNoVerdictWithoutAPersonUnlessTheRecipeSaysWhatStandsForOne) {
    OneUnit nobody(plan_of({step_of("look", question())}));
    EXPECT_EQ(nobody.run().result.verdict, Verdict::no_verdict);
    auto ask = question();
    ask.unattended = Unattended::yes;
    OneUnit declared(plan_of({step_of("look", ask)}));
    EXPECT_EQ(declared.run().result.verdict, Verdict::pass);
}

TEST(AskStep, GivesNoVerdictWhenPatienceIsOver) {
    auto ask = question();
    ask.patience = 20s;
    OneUnit unit(plan_of({step_of("look", ask)}));
    Answering person(unit.rig.clock, std::nullopt);
    unit.rig.person = &person;
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::no_verdict);
    EXPECT_FALSE(record.observations.answers.at(0).yes.has_value());
    EXPECT_LT(unit.rig.seconds(), 60.0);
}

TEST(WarmUpStep, LooksUntilTheReadingsStandStill) {
    bench::BenchOptions warm;
    warm.spread.warm_up = 60.0;  // counts, with a time constant of 4 s
    language::WarmUpStep step;
    step.scans = 16;
    step.drift.high = Counts(4.0);
    OneUnit unit(plan_of({step_of("warm-up", step)}), warm);
    const auto& record = unit.run();
    EXPECT_NE(record.result.verdict, Verdict::fail) << record.result.reason;
    EXPECT_GT(record.observations.readings.size(), 3U);
    EXPECT_LT(record.observations.readings.size(), 30U);
}

TEST(WarmUpStep, FailsAUnitThatStillDriftsWhenTheTimeIsOver) {
    bench::BenchOptions warm;
    warm.spread.warm_up = 400.0;
    language::WarmUpStep step;
    step.interval = 500ms;
    step.longest = 1s;
    step.drift.high = Counts(3.0);
    OneUnit unit(plan_of({step_of("warm-up", step)}), warm);
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_EQ(record.observations.readings.size(), 3U);
}

language::LinkStep link_step() {
    language::LinkStep step;
    step.requests = 40;
    step.supply = {Volt(3.2), Volt(3.4)};
    step.reply_time.high = Millisecond(20.0);
    return step;
}

language::Plan with_supply(language::Plan plan) {
    language::SupplyReading supply;
    supply.where.table = language::RegisterTable::input;
    supply.where.address = 900;
    plan.map.supply = supply;
    return plan;
}

TEST(LinkStep, ReadsTheSupplyAndCountsRequests) {
    OneUnit unit(with_supply(plan_of({step_of("link", link_step())})));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::pass) << record.result.reason;
    const auto& look = record.observations.link_looks.at(0);
    EXPECT_EQ(look.requests, 40U);
    EXPECT_EQ(look.repeated, 0U);
    EXPECT_NEAR(look.supply->value(), unit.rig.bench.units()[0]->truth().supply, 0.0006);
}

TEST(LinkStep, FailsAUnitWhoseSupplySags) {
    OneUnit unit(with_supply(plan_of({step_of("link", link_step())})),
                 with_defect(bench::DefectKind::noisy_supply, 0));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_THAT(record.result.reason, HasSubstr("Supply"));
}

TEST(LinkStep, FailsALinkThatRepeatsMoreThanAllowed) {
    const auto plan = with_supply(plan_of({step_of("link", link_step())}));
    OneUnit unit(plan);
    record::Observations seen = unit.run().observations;
    seen.link_looks.at(0).repeated = 3;
    const auto result = metrology::judge(plan, plan.fixture.equipment, seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_THAT(result.reason, HasSubstr("Of 40 requests 3 had to be repeated"));
}

TEST(StuckKeyStep, PassesAGoodUnit) {
    OneUnit unit(plan_of({step_of("keys", language::StuckKeyStep{})}));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::pass) << record.result.reason;
    EXPECT_EQ(OneUnit::checks(record, "stuck key").size(), 8U);
    EXPECT_EQ(OneUnit::checks(record, "dead key").size(), 8U);
}

TEST(StuckKeyStep, NamesAKeyThatIsReportedForEver) {
    language::StuckKeyStep step;
    step.finger = false;
    OneUnit unit(plan_of({step_of("keys", step)}), with_defect(bench::DefectKind::stuck_key, 4));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_THAT(record.result.reason, HasSubstr("reports key 5 while nothing is near"));
    EXPECT_THAT(record.result.next_step, HasSubstr("Check what lies on key 5"));
}

// A key that is always reported also spoils the report of the next one that is touched.
TEST(StuckKeyStep, NamesTheCauseBeforeWhatItSpoils) {
    language::StuckKeyStep step;
    step.finger = false;
    auto keys = step_of("keys", step);
    keys.on_failure = language::OnFailure::go_on;
    language::TouchStep touch;
    touch.keys = {"key 2"};
    OneUnit unit(plan_of({keys, step_of("touch", touch)}),
                 with_defect(bench::DefectKind::stuck_key, 4));
    const auto& record = unit.run();
    EXPECT_FALSE(OneUnit::checks(record, "touch report").empty());
    EXPECT_THAT(record.result.reason, HasSubstr("reports key 5 while nothing is near"));
    EXPECT_THAT(record.result.next_step, HasSubstr("Check what lies on key 5"));
}

TEST(StuckKeyStep, NamesAKeyThatDoesNotFeelTheFinger) {
    language::StuckKeyStep step;
    step.keys = {"key 2", "key 3"};
    OneUnit unit(plan_of({step_of("keys", step)}), with_defect(bench::DefectKind::dead_channel, 2));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_THAT(record.result.reason, HasSubstr("Touched at key 3"));
}

TEST(CrosstalkStep, TellsJoinedNeighboursFromGoodOnes) {
    language::CrosstalkStep step;
    step.keys = {"key 2"};
    step.crosstalk.high = Percent(10.0);
    const auto plan = plan_of({step_of("crosstalk", step)});
    OneUnit good(plan);
    EXPECT_EQ(good.run().result.verdict, Verdict::pass);
    OneUnit joined(plan, with_defect(bench::DefectKind::shorted_pair, 1));
    EXPECT_EQ(joined.run().result.verdict, Verdict::fail);
}

TEST(NonLinearityStep, FailsABentLine) {
    language::NonLinearityStep step;
    step.references = {"R1", "R2", "R3", "R4"};
    step.non_linearity.high = Percent(1.0);
    const auto plan = plan_of({step_of("non-linearity", step)});
    OneUnit straight(plan);
    const auto& good = straight.run();
    EXPECT_EQ(good.result.verdict, Verdict::pass) << good.result.reason;
    EXPECT_TRUE(good.result.lines.empty());
    bench::BenchOptions options;
    options.spread.bend = 0.05;
    OneUnit bent(plan, options);
    EXPECT_EQ(bent.run().result.verdict, Verdict::fail);
}

language::FrequencyStep frequency_step() {
    language::FrequencyStep step;
    step.reference = "R3";
    step.departure.high = Percent(8.0);
    return step;
}

TEST(FrequencyStep, PassesFrequenciesThatAgree) {
    OneUnit unit(plan_of({step_of("frequencies", frequency_step())}));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::pass) << record.result.reason;
    EXPECT_EQ(OneUnit::checks(record, "frequency departure").size(), 16U);
}

// Each frequency has a gain of its own: without a line there is nothing to compare it by.
TEST(FrequencyStep, NamesTheFrequencyThatDepartsFromItsOwnLine) {
    language::GainOffsetStep line;
    line.references = {"R1", "R2", "R3", "R4"};
    auto plan = plan_of({step_of("line", line), step_of("frequencies", frequency_step())});
    plan.map.frequencies = {Kilohertz(200), Kilohertz(250), Kilohertz(400)};
    plan.map.raw_counts.cells = plan.map.corrected_counts.cells = 24;
    plan.map.corrected_counts.address = 2000;
    OneUnit unit(plan);
    record::Observations seen = unit.run().observations;
    for (record::Readings& readings : seen.readings)  // channel 1 feels less at frequency 2
        if (readings.step == "frequencies" && !readings.situation.reference.empty())
            for (record::Scan& scan : readings.scans) scan.counts.at(1 * 3 + 2) -= 200;
    const auto result = metrology::judge(plan, plan.fixture.equipment, seen);
    EXPECT_EQ(result.verdict, Verdict::fail);
    EXPECT_THAT(result.reason, HasSubstr("It stands out from all the others"));
}

}  // namespace
}  // namespace padtrim::engine
