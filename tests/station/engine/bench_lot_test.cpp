// Whole lots on the virtual bench, compared with what its units really hold.
#include <algorithm>
#include <cstdio>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/engine/duration.hpp"
#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::engine {
namespace {

using testing::BenchRig;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

bench::BenchOptions good_units(std::uint32_t units, std::uint64_t seed = 1) {
    bench::BenchOptions options;
    options.units = units;
    options.seed = seed;
    return options;
}

std::vector<std::int64_t> wide(const std::vector<std::int32_t>& values) {
    return {values.begin(), values.end()};
}

bool holds(const bench::Trims& memory, const record::TrimsRead& trims) {
    return memory.gain == wide(trims.gain) && memory.offset == wide(trims.offset);
}

TEST(BenchLot, GoodUnitsPassAndHoldWhatWasWritten) {
    BenchRig rig(test_support::demo_plan({.nests = 4}), good_units(12));
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault) << outcome.reason;
    EXPECT_EQ(outcome.count, (record::LotCount{12, 12, 0, 0, 0, 0}));
    for (const auto& unit : rig.bench.units()) {
        const auto* run = rig.last_run(unit->truth().serial);
        ASSERT_TRUE(run && run->unit && run->intent) << unit->truth().serial;
        EXPECT_EQ(run->unit->result.verdict, record::Verdict::pass) << run->unit->result.reason;
        EXPECT_TRUE(holds(unit->memory().non_volatile(), run->intent->to_write));
        EXPECT_EQ(unit->memory().commits(), 1U);
    }
    EXPECT_THAT(rig.bench.mishaps(), IsEmpty());
}

struct Expected {
    bench::DefectKind kind;
    record::Verdict verdict;
    record::Disposition disposition;
    const char* reason;
};

TEST(BenchLot, EachDefectGetsItsVerdict) {
    using bench::DefectKind;
    using record::Disposition;
    using record::Verdict;
    const std::vector<Expected> expected{
        {DefectKind::dead_channel, Verdict::fail, Disposition::rework, "key 3"},
        {DefectKind::shorted_pair, Verdict::fail, Disposition::rework, "key"},
        {DefectKind::thick_glue, Verdict::fail, Disposition::rework, "key 3"},
        {DefectKind::noisy_supply, Verdict::fail, Disposition::rework, ""},
        {DefectKind::trims_lost_at_restart, Verdict::fail, Disposition::quarantined, "power-off"},
        {DefectKind::trims_lost_at_power_off, Verdict::fail, Disposition::quarantined, "power-off"},
    };
    bench::BenchOptions options = good_units(static_cast<std::uint32_t>(expected.size()));
    for (std::uint32_t i = 0; i < expected.size(); ++i)
        options.defects.placed.push_back({i + 1, expected[i].kind, std::uint16_t{2}});
    BenchRig rig(test_support::demo_plan(), options);
    const LotOutcome outcome = rig.run();
    EXPECT_EQ(outcome.count.fail, expected.size()) << outcome.reason;
    for (std::uint32_t i = 0; i < expected.size(); ++i) {
        SCOPED_TRACE(name_of(expected[i].kind));
        const auto* run = rig.last_run(i + 1);
        ASSERT_TRUE(run && run->unit);
        const record::UnitResult& result = run->unit->result;
        EXPECT_EQ(result.verdict, expected[i].verdict) << result.reason;
        EXPECT_EQ(result.disposition, expected[i].disposition) << result.reason;
        EXPECT_THAT(result.reason + result.next_step, HasSubstr(expected[i].reason));
    }
    EXPECT_THAT(rig.bench.mishaps(), IsEmpty());
}

TEST(BenchLot, ASilentUnitAndAStrangerAreNotCountedAsFailures) {
    bench::BenchOptions options = good_units(3);
    options.defects.placed = {{1, bench::DefectKind::silent, {}},
                              {2, bench::DefectKind::other_product, {}}};
    BenchRig rig(test_support::demo_plan(), options);
    EXPECT_EQ(rig.run().count, (record::LotCount{3, 1, 0, 0, 1, 1}));
    EXPECT_EQ(rig.bench.units()[1]->memory().trim_writes(), 0U);
}

TEST(BenchLot, RunsBehindAMultiplexerAndChannelByChannel) {
    auto plan = *test_support::demo_plan({.nests = 2, .shared_bus = true});
    plan.fixture.relays.switching = language::Switching::one_channel;
    BenchRig rig(std::make_shared<const language::Plan>(plan), good_units(2));
    EXPECT_EQ(rig.run().count.pass, 2U);
    EXPECT_THAT(rig.bench.mishaps(), IsEmpty());
}

TEST(BenchLot, NoUnitLosesPowerDuringACommitWheneverItIsAborted) {
    double whole = 0.0;
    {
        BenchRig rig(test_support::demo_plan(), good_units(1));
        rig.options.units = 1;
        rig.run();
        whole = rig.seconds();
    }
    const unsigned moments = 60;
    unsigned untouched = 0, quarantined = 0, proven = 0;
    for (unsigned i = 0; i < moments; ++i) {
        const auto at = std::chrono::microseconds(std::int64_t(1e6 * whole * i / moments));
        SCOPED_TRACE("abort at " + std::to_string(at.count()) + " us");
        BenchRig rig(test_support::demo_plan(), good_units(1));
        rig.options.units = 1;
        rig.clock.spawn([](BenchRig& r, std::chrono::microseconds t) -> port::Task<void> {
            co_await r.clock.sleep_for(t);
            r.lot->abort_unit(1);
        }(rig, at));
        const LotOutcome outcome = rig.run();
        EXPECT_FALSE(outcome.station_fault) << outcome.reason;
        EXPECT_THAT(rig.bench.mishaps(), IsEmpty());
        ASSERT_EQ(rig.journal.runs.size(), 1U);
        const auto& run = rig.journal.runs.front();
        const bench::UnitMemory& memory = rig.bench.units().front()->memory();
        EXPECT_TRUE(run.intent || memory.trim_writes() == 0);
        if (run.verdict() == record::Verdict::pass) {
            ++proven;
            EXPECT_TRUE(holds(memory.non_volatile(), run.intent->to_write));
        } else {
            EXPECT_EQ(run.disposition, run.intent ? record::Disposition::quarantined
                                                  : record::Disposition::undecided);
            ++(run.intent ? quarantined : untouched);
        }
    }
    EXPECT_GT(untouched, 10U);
    EXPECT_GT(quarantined, 5U);
    EXPECT_GT(proven, 0U);
}

// A guard that chatters, or that somebody closes again behind their hand: nothing moves before a
// person begins anew.
TEST(BenchLot, AGuardThatWasOpenForAMomentEndsTheLotWithoutAnotherMove) {
    using namespace std::chrono_literals;
    for (const auto open_for : {2ms, 10ms, 150ms}) {
        BenchRig rig(test_support::demo_plan({.nests = 2}), good_units(4));
        bool opened = false;
        std::optional<bench::Place> stopped;
        const auto chatter = [&]() -> boost::asio::awaitable<void> {
            co_await rig.clock.sleep_for(60ms);
            rig.bench.set_guard(false);
            co_await rig.clock.sleep_for(open_for);
            stopped = rig.bench.finger()->at(rig.bench.now());
            rig.bench.set_guard(true);
        };
        rig.on_event = [&](const Event& event) {
            const auto* progress = std::get_if<StepProgress>(&event);
            if (opened || !progress || progress->step != "touch" || progress->key != "key 4")
                return;
            opened = true;
            rig.clock.spawn(chatter());
        };
        const LotOutcome outcome = rig.run();
        rig.clock.run_for(1s);
        ASSERT_TRUE(stopped);
        EXPECT_TRUE(outcome.station_fault) << open_for.count();
        EXPECT_EQ(rig.bench.finger()->at(rig.bench.now()), *stopped) << open_for.count();
        EXPECT_FALSE(rig.bench.finger()->referenced()) << open_for.count();
        const LotOutcome again = rig.run();
        EXPECT_FALSE(again.station_fault) << again.reason;
    }
}

// Somebody lays a unit in with the guard open, which takes the drives' power: they are asked once
// more when it is closed, and then the finger homes.
TEST(BenchLot, UnitsLaidInByHandBehindAGuardAreRunWhenThePersonSaysSoAgain) {
    BenchRig rig(test_support::demo_plan({.handler = false}), good_units(5));
    int asked = 0;
    std::vector<std::string> wishes;
    rig.on_event = [&](const Event& event) {
        if (const auto* waiting = std::get_if<NestWaiting>(&event))
            wishes.push_back(waiting->sentence);
    };
    rig.ask = [&](std::uint16_t) -> boost::asio::awaitable<std::optional<std::string>> {
        co_await rig.clock.sleep_for(std::chrono::seconds(1));
        ++asked;
        if (asked == 7) co_return std::nullopt;
        rig.bench.set_guard(asked % 2 == 0);  // open at the first word, closed at the second
        if (asked % 2 == 1) rig.bench.load_next(1);
        co_return std::string();
    };
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault) << outcome.reason;
    EXPECT_EQ(outcome.count.pass, 3U);
    ASSERT_GE(wishes.size(), 2U);
    EXPECT_THAT(wishes[1], HasSubstr("once more"));
}

// An abort is no loss: the controller knows where it is.
TEST(BenchLot, AbortedUnitsDoNotTakeTheFingersPlace) {
    bench::BenchOptions slow = good_units(12);
    slow.reply_delay = std::chrono::milliseconds(2);  // so that an abort meets a request under way
    BenchRig rig(test_support::demo_plan(), slow);
    int aborts = 0;
    const auto abort_after = [&](std::chrono::milliseconds time) -> boost::asio::awaitable<void> {
        co_await rig.clock.sleep_for(time);
        rig.lot->abort_unit(1);
    };
    rig.on_event = [&](const Event& event) {
        const auto* progress = std::get_if<StepProgress>(&event);
        if (progress && progress->step == "touch" && progress->key == "key 4" && aborts < 6) {
            ++aborts;
            rig.clock.spawn(abort_after(std::chrono::milliseconds(7 * aborts)));
        }
    };
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault) << outcome.reason;
    EXPECT_EQ(aborts, 6);
    EXPECT_GE(outcome.count.pass, 6U);
}

// No finger moves in these steps, but pins do, and hands were in the fixture.
TEST(BenchLot, AGuardOpenedWhileNothingMovesGivesNoVerdictEither) {
    for (const char* step : {"contact", "gain and offset", "noise"}) {
        BenchRig rig(test_support::demo_plan(), good_units(2));
        rig.on_event = [&](const Event& event) {
            const auto* progress = std::get_if<StepProgress>(&event);
            if (progress && progress->step.find(step) == 0) rig.bench.set_guard(false);
        };
        const LotOutcome outcome = rig.run();
        EXPECT_TRUE(outcome.station_fault) << step;
        EXPECT_THAT(outcome.reason, HasSubstr("guard")) << step;
        EXPECT_EQ(outcome.count.pass, 0U) << step;
    }
}

TEST(BenchLot, AnOpenedGuardEndsTheLotWithoutAnotherMove) {
    BenchRig rig(test_support::demo_plan({.nests = 2}), good_units(4));
    rig.on_event = [&](const Event& event) {
        const auto* progress = std::get_if<StepProgress>(&event);
        if (progress && progress->step == "touch" && progress->key == "key 4")
            rig.bench.set_guard(false);
    };
    rig.on_event = [&, before = rig.on_event](const Event& event) {
        before(event);
        if (!std::holds_alternative<LotClosed>(event)) return;
        EXPECT_FALSE(rig.bench.finger()->referenced());
    };
    const LotOutcome outcome = rig.run();
    EXPECT_TRUE(outcome.station_fault);
    EXPECT_THAT(outcome.reason, HasSubstr("guard"));
    EXPECT_EQ(outcome.count.pass, 0U);
    // A person closes the guard and starts again; nobody's trims were touched.
    rig.bench.set_guard(true);
    rig.on_event = nullptr;
    const LotOutcome again = rig.run();
    EXPECT_FALSE(again.station_fault) << again.reason;
    EXPECT_EQ(again.count.pass, 4U);
    // The finger had stayed on a panel; it was lifted before anything was measured again.
    for (const auto& run : rig.journal.runs) EXPECT_TRUE(run.has_ended());
}

TEST(BenchLot, APulledCableEndsTheLotAndNamesThePort) {
    BenchRig rig(test_support::demo_plan(), good_units(2));
    rig.on_event = [&](const Event& event) {
        const auto* progress = std::get_if<StepProgress>(&event);
        if (progress && progress->step == "noise") rig.bench.unplug("nest-1");
    };
    const LotOutcome outcome = rig.run();
    EXPECT_THAT(outcome.reason, HasSubstr("nest-1"));
    EXPECT_EQ(outcome.count.no_verdict, 1U);
}

TEST(BenchLot, TheSameSeedGivesTheSameResultsToTheBit) {
    const auto observe = [] {
        BenchRig rig(test_support::demo_plan({.nests = 2}), good_units(2, 7));
        rig.run();
        return *rig.last_run(1u)->unit;
    };
    const record::UnitRecord first = observe(), second = observe();
    EXPECT_EQ(first.observations, second.observations);
    EXPECT_EQ(first.result, second.result);
}

TEST(BenchLot, TakesHardlyLongerThanItsFloor) {
    BenchRig rig(test_support::demo_plan(), good_units(1));
    rig.options.units = 1;
    rig.run();
    const UnitDuration expected = estimate(*rig.plan);
    const double handler = 0.6;  // pulse, handling, looking
    const double taken = 1e3 * (rig.seconds() - handler);
    std::printf("cycle %.0f ms, expected %.0f ms, floor %.0f ms\n", taken,
                expected.whole().expected.count(), expected.whole().floor.count());
    EXPECT_GT(taken, 0.9 * expected.whole().floor.count());
    EXPECT_LT(taken, 1.5 * expected.whole().floor.count());
}

}  // namespace
}  // namespace padtrim::engine
