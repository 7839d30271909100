// Steps with heights, ways and targets on the virtual bench, against what its physics makes true.
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/station/engine/step_rig.hpp"

namespace padtrim::engine {
namespace {

using record::Verdict;
using testing::Answering;
using ::testing::HasSubstr;
using testing::OneUnit;
using testing::plan_of;
using testing::step_of;
using namespace std::chrono_literals;

// The bench's tip is sprung and stands 0.3 mm below its nominal end.
constexpr double tip = 0.3;

language::ApproachStep approach_step() {
    language::ApproachStep step;
    step.keys = {"key 2"};
    step.surface = {Millimetre(0.0), Millimetre(0.8)};
    step.operating_distance = {Millimetre(0.02), Millimetre(1.5)};
    step.differential_travel = {Millimetre(-0.2), Millimetre(1.5)};
    return step;
}

TEST(ApproachStep, FindsTheSurfaceOfThisUnit) {
    OneUnit unit(plan_of({step_of("approach", approach_step())}));
    const auto& record = unit.run();
    EXPECT_NE(record.result.verdict, Verdict::fail) << record.result.reason;
    const auto surface = OneUnit::checks(record, "surface").at(0);
    const double truth = unit.rig.bench.units()[0]->truth().surface + tip;
    EXPECT_NEAR(surface.value, truth, surface.expanded_uncertainty + 0.01);
}

// Where the bench's own physics reaches the product's limit: 0.6 of a nominal touch.
double true_distance(bench::PanelDevice& unit, const language::Plan& plan) {
    const auto& key = plan.map.keys[1];
    bench::Probe probe{plan.fixture.finger->diameter.value(), key.x.value(), key.y.value(), 0.0};
    const bench::Rectangle electrode{key.x.value(), key.y.value(), key.width.value(),
                                     key.height.value()};
    const bench::Stack stack{.overlay = plan.map.overlay.value()};
    const double limit =
        0.6 * bench::touch_coupling(electrode, stack, probe) * plan.map.nominal_gain.value();
    const double contact = unit.truth().surface + tip;
    double low = contact, high = contact + 3.0;
    while (high - low > 1e-4) {
        probe.height = 0.5 * (low + high);
        (unit.touch_response(probe)[1] > limit ? low : high) = probe.height;
    }
    return low - contact;
}

TEST(ApproachStep, FindsWhereTheProductReports) {
    const auto plan = plan_of({step_of("approach", approach_step())});
    OneUnit unit(plan);
    const auto& record = unit.run();
    const auto operate = OneUnit::checks(record, "operating distance").at(0);
    const double truth = true_distance(*unit.rig.bench.units()[0], plan);
    // The resting level follows a little at each look.
    EXPECT_NEAR(operate.value, truth, operate.expanded_uncertainty + 0.05);
    // Release at 0.8 of the limit lies above it.
    const auto travel = OneUnit::checks(record, "differential travel").at(0);
    EXPECT_GT(travel.value, 0.0);
}

// A plan from the records is not checked anew.
TEST(ApproachStep, EndsWithAnIntervalThatHeightsCannotTell) {
    auto step = approach_step();
    step.interval = Millimetre(1e-20);
    step.scans = 1;
    OneUnit unit(plan_of({step_of("approach", step)}));
    const auto& record = unit.run();
    EXPECT_LT(record.observations.readings.size(), 1100U);
    EXPECT_LT(record.observations.touch_reports.size(), 200U);
}

TEST(ApproachStep, FailsAKeyThatThickGlueKeepsSilent) {
    bench::BenchOptions options;
    options.defects.placed = {{1, bench::DefectKind::thick_glue, std::uint16_t{1}}};
    OneUnit unit(plan_of({step_of("approach", approach_step())}), options);
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_THAT(record.result.reason, HasSubstr("Touched at key 2, the product reports nothing"));
}

TEST(ResponseStep, TakesTheTimeFromTheOperatingDistance) {
    language::ResponseStep step;
    step.keys = {"key 2"};
    step.response_time.high = Millisecond(100.0);
    OneUnit unit(plan_of({step_of("approach", approach_step()), step_of("response", step)}));
    const auto& record = unit.run();
    const auto time = OneUnit::checks(record, "response time").at(0);
    EXPECT_EQ(time.verdict, Verdict::pass) << time.note;
    // The bench's firmware debounces three scans of 4 ms, begun within a fourth.
    EXPECT_NEAR(time.value, 14.0, time.expanded_uncertainty + 4.0);
    EXPECT_GT(time.standard_uncertainty, 0.0);
}

TEST(ResponseStep, GivesNoVerdictWhereNoApproachCurveWasTaken) {
    language::ResponseStep step;
    step.keys = {"key 2"};
    step.response_time.high = Millisecond(100.0);
    OneUnit unit(plan_of({step_of("response", step)}));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::no_verdict);
    EXPECT_THAT(record.result.reason, HasSubstr("operating distance of key 2 is not known"));
}

language::Step slow(double speed, double from, language::Expect expect) {
    language::SlowApproachStep step;
    step.keys = {"key 3"};
    step.speed = MillimetrePerSecond(speed);
    step.from = Millimetre(from);
    step.expect = expect;
    return step_of("slow approach", step);
}

TEST(SlowApproachStep, TellsAFingerFromDrift) {
    using language::Expect;
    OneUnit finger(plan_of({slow(5.0, 5.0, Expect::reported)}));
    EXPECT_EQ(finger.run().result.verdict, Verdict::pass);
    // The bench's resting level follows with 1.5 s: half a millimetre in 14 s is drift to it.
    OneUnit drift(plan_of({slow(0.05, 0.7, Expect::silent)}));
    EXPECT_EQ(drift.run().result.verdict, Verdict::pass);
    OneUnit swallowed(plan_of({slow(0.05, 0.7, Expect::reported)}));
    const auto& record = swallowed.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_THAT(record.result.reason, HasSubstr("it takes it for drift"));
}

language::Plan with_targets(language::Plan plan) {
    language::Target plate{"plate", language::TargetKind::conductive, Millimetre(40.0),
                           Millimetre(5.0), plan.fixture.relays.coils};
    language::Target water{"water", language::TargetKind::water, Millimetre(30.0), Millimetre(5.0),
                           static_cast<std::uint16_t>(plan.fixture.relays.coils + 1)};
    plan.fixture.relays.coils = static_cast<std::uint16_t>(plan.fixture.relays.coils + 2);
    plan.fixture.targets = {plate, water};
    return plan;
}

// Key 1 made into a pad that is meant to report the plate at 15 mm.
language::Plan with_pad(language::Plan plan) {
    language::Key& pad = plan.map.keys[0];
    pad.kind = language::KeyKind::proximity;
    pad.operating_distance = Millimetre(15.0);
    plan.fixture.finger->travel_z = Millimetre(140.0);
    return with_targets(std::move(plan));
}

TEST(ProximityStep, FindsHowFarThePadFeels) {
    language::ProximityStep step;
    step.target = "plate";
    step.from = Millimetre(40.0);
    step.height = Millimetre(10.0);
    step.response.low = Counts(20.0);
    step.operating_distance = {Millimetre(8.0), Millimetre(17.0)};
    OneUnit unit(with_pad(plan_of({step_of("proximity", step)})));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::pass) << record.result.reason;
    const auto distance = OneUnit::checks(record, "operating distance").at(0);
    // Meant for 15 mm; the resting level follows some of the plate on its way down.
    EXPECT_GT(distance.value, 9.0);
    EXPECT_LT(distance.value, 15.5);
    EXPECT_FALSE(unit.rig.bench.relays().closed(unit.rig.plan->fixture.targets[0].coil.value()));
}

language::Step hover(double height, language::Expect expect) {
    language::HoverStep step;
    step.target = "plate";
    step.height = Millimetre(height);
    step.expect = expect;
    return step_of("hover", step);
}

TEST(HoverStep, TellsNearFromFar) {
    using language::Expect;
    auto far_plan = with_pad(plan_of({hover(90.0, Expect::silent)}));
    OneUnit far(far_plan);
    const auto& quiet = far.run();
    EXPECT_EQ(quiet.result.verdict, Verdict::pass) << quiet.result.reason;
    EXPECT_GT(quiet.observations.sightings.size(), 10U);
    for (const record::Sighting& s : quiet.observations.sightings)
        EXPECT_NEAR(s.finger.z.value(), 10.0 + 5.0 + 90.0, 0.01);
    auto near_plan = with_pad(plan_of({hover(31.0, Expect::reported)}));
    near_plan.map.keys[0].operating_distance = Millimetre(60.0);
    OneUnit near(near_plan);
    EXPECT_EQ(near.run().result.verdict, Verdict::pass);
}

language::WetPanelStep wet() {
    language::WetPanelStep step;
    step.target = "water";
    step.keys = {"key 2", "key 5"};
    step.watch = 600ms;
    return step;
}

TEST(WetPanelStep, PassesAUnitThatKnowsWater) {
    OneUnit unit(with_targets(plan_of({step_of("wet", wet())})));
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::pass) << record.result.reason;
    EXPECT_GT(record.observations.touch_reports.size(), 10U);
}

TEST(WetPanelStep, FailsAUnitThatTakesWaterForAFinger) {
    bench::BenchOptions options;
    options.defects.placed = {{1, bench::DefectKind::guard_missing, {}}};
    OneUnit unit(with_targets(plan_of({step_of("wet", wet())})), options);
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_THAT(record.result.reason, HasSubstr("Wet, the product reports key 2"));
}

TEST(WetPanelStep, WatchesWaterThatAPersonLaid) {
    auto step = wet();
    step.placed_by = language::PlacedBy::person;
    const auto plan = with_targets(plan_of({step_of("wet", step)}));
    bench::BenchOptions options;
    options.defects.placed = {{1, bench::DefectKind::guard_missing, {}}};
    OneUnit unit(plan, options);
    Answering person(unit.rig.clock, true);
    person.on_question = [&](const Question& question) {
        const bool lay = question.text.find("Lay") == 0;
        unit.rig.bench.lay_by_hand(1, lay ? "water" : "");
    };
    unit.rig.person = &person;
    const auto& record = unit.run();
    EXPECT_EQ(record.result.verdict, Verdict::fail);
    EXPECT_EQ(person.asked.size(), 2U);
}

TEST(WetPanelStep, GivesNoVerdictWithoutAnybodyToLayTheWater) {
    auto step = wet();
    step.placed_by = language::PlacedBy::person;
    OneUnit unit(with_targets(plan_of({step_of("wet", step)})));
    EXPECT_EQ(unit.run().result.verdict, Verdict::no_verdict);
}

TEST(FingerSteps, AnOpenedGuardStopsAGlideWithoutAnotherMove) {
    OneUnit unit(plan_of({slow(0.5, 5.0, language::Expect::reported)}));
    bool opened = false;
    const auto open_later = [&]() -> boost::asio::awaitable<void> {
        co_await unit.rig.clock.sleep_for(std::chrono::seconds(5));  // of ten that the way takes
        unit.rig.bench.set_guard(false);
    };
    unit.rig.on_event = [&](const Event& event) {
        const auto* step = std::get_if<StepProgress>(&event);
        if (step == nullptr || step->step != "slow approach" || step->key.empty() || opened) return;
        opened = true;
        unit.rig.clock.spawn(open_later());
    };
    const auto& record = unit.run();
    EXPECT_TRUE(unit.outcome.station_fault);
    EXPECT_EQ(record.result.verdict, Verdict::no_verdict);
    EXPECT_FALSE(unit.rig.bench.finger()->referenced()) << "it was not homed";
    EXPECT_LT(unit.rig.bench.finger()->at(unit.rig.bench.now()).z,
              unit.rig.plan->fixture.finger->safe_height.value())
        << "nor lifted";
}

}  // namespace
}  // namespace padtrim::engine
