// Every way out of a lot: faults of each call in turn, aborts at each moment, an open guard, a
// store that fails, a stop by the operator.
#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/post.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/engine/write_back.hpp"
#include "tests/station/engine/promises.hpp"

namespace padtrim::engine {
namespace {

using ::testing::HasSubstr;
using testing::Promises;
using testing::quick_plan;
using testing::Rig;

std::size_t calls_of_a_good_lot(unsigned units) {
    Rig rig;
    rig.station.fill_magazine(units);
    rig.run();
    return rig.station.calls;
}

std::uint32_t sum(const record::LotCount& count) {
    return count.pass + count.fail + count.inconclusive + count.no_verdict + count.removed;
}

TEST(WayOut, EachPortCallFailsInTurn) {
    const std::size_t all = calls_of_a_good_lot(2);
    for (std::size_t n = 1; n <= all; ++n) {
        SCOPED_TRACE("failing call " + std::to_string(n));
        Rig rig;
        rig.station.fill_magazine(2);
        rig.station.fail_at = n;
        const LotOutcome outcome = rig.run();
        EXPECT_EQ(Promises(rig).broken(), "");
        EXPECT_TRUE(rig.station.safe());
        EXPECT_EQ(sum(outcome.count), outcome.count.loaded);
        const auto faults = rig.told<FaultSeen>();
        ASSERT_LE(faults.size(), 1U);
        if (faults.empty()) continue;  // of the safe state, which tries again
        const bool of_unit = faults.front().fault.blame == record::Blame::unit;
        EXPECT_EQ(outcome.station_fault, !of_unit);
        if (!of_unit) continue;
        EXPECT_EQ(outcome.count.no_verdict, 1U);
        EXPECT_EQ(outcome.count.pass, 1U);
    }
}

TEST(WayOut, EveryPortCallFailsFromTheNth) {
    const std::size_t all = calls_of_a_good_lot(1);
    for (std::size_t n = 1; n <= all; ++n) {
        SCOPED_TRACE("failing from call " + std::to_string(n));
        Rig rig;
        rig.station.fill_magazine(1);
        rig.station.fail_at = n;
        rig.station.fail_for_good = true;
        const LotOutcome outcome = rig.run();
        EXPECT_EQ(Promises(rig).broken(), "");
        EXPECT_TRUE(outcome.station_fault);
    }
}

TEST(WayOut, EachCallOfTheJournalFailsInTurn) {
    std::size_t all = 0;
    {
        Rig rig;
        rig.station.fill_magazine(2);
        rig.run();
        all = rig.journal.calls;
    }
    for (std::size_t n = 1; n <= all; ++n) {
        SCOPED_TRACE("failing journal call " + std::to_string(n));
        Rig rig;
        rig.station.fill_magazine(2);
        rig.journal.fail_call(n, {journal::StoreFaultKind::full, "The disk is full."});
        const LotOutcome outcome = rig.run();
        EXPECT_TRUE(outcome.station_fault);
        EXPECT_THAT(outcome.reason, HasSubstr("The disk is full."));
        EXPECT_TRUE(rig.station.safe());
        EXPECT_EQ(Promises(rig).broken(), "");
        EXPECT_EQ(rig.journal.calls, n) << "the journal was called again after its fault";
        // The next start settles what was cut off and ends the lot.
        const LotOutcome again = rig.run();
        EXPECT_FALSE(again.station_fault) << again.reason;
        EXPECT_EQ(again.count.loaded, 2U);
        for (const auto& run : rig.journal.runs) EXPECT_TRUE(run.has_ended());
    }
}

// The n-th call of a port meets an abort while it lasts.
void abort_at(Rig& rig, std::size_t n) {
    rig.station.each_call = [&rig, n](const std::string&) {
        if (rig.station.calls == n)
            boost::asio::post(rig.context, [&rig] { rig.lot->abort_unit(1); });
    };
}

TEST(WayOut, AnAbortReachesEachCall) {
    const std::size_t all = calls_of_a_good_lot(1);
    unsigned quarantined = 0, undecided = 0;
    for (std::size_t n = 1; n <= all; ++n) {
        SCOPED_TRACE("abort at call " + std::to_string(n));
        Rig rig;
        rig.station.fill_magazine(2);
        abort_at(rig, n);
        const LotOutcome outcome = rig.run();
        EXPECT_FALSE(outcome.station_fault) << outcome.reason;
        EXPECT_EQ(Promises(rig).broken(), "");
        EXPECT_TRUE(rig.station.safe());
        EXPECT_EQ(outcome.count.loaded, 2U);
        if (rig.journal.runs.back().unit->observations.aborted) continue;  // it met the second
        const auto* second = rig.last_run("U2");
        ASSERT_TRUE(second != nullptr);
        EXPECT_EQ(second->verdict(), record::Verdict::pass);
        const auto& first = rig.journal.runs.front();
        if (!first.unit->observations.aborted) continue;  // nothing was at work, or it was over
        const bool wrote = first.intent.has_value();
        EXPECT_EQ(first.disposition,
                  wrote ? record::Disposition::quarantined : record::Disposition::undecided);
        ++(wrote ? quarantined : undecided);
    }
    EXPECT_GT(undecided, 100U);
    EXPECT_GT(quarantined, 30U);
}

TEST(WayOut, AnAbortAtEachPointOfTheWriteBackIsTold) {
    bool after_intent = false;
    for (const char* at : write_back_points) {
        SCOPED_TRACE(at);
        const std::string name = at;
        after_intent |= name == "after the intent";
        Rig rig;
        rig.station.fill_magazine(1);
        rig.point = [&](const char* point) {
            if (name == point) rig.lot->abort_unit(1);
        };
        rig.run();
        EXPECT_EQ(Promises(rig).broken(), "");
        const auto& run = rig.journal.runs.front();
        const bool over = name == "after recording verified" ||
                          name == "before storing the result" || name == "after storing the result";
        EXPECT_EQ(run.verdict(), over ? record::Verdict::pass : record::Verdict::no_verdict);
        EXPECT_EQ(run.intent.has_value(), after_intent);
    }
}

TEST(WayOut, NoMotionIsCommandedOnceTheGuardIsSeenOpen) {
    for (unsigned opens_at = 2; opens_at <= 12; ++opens_at) {
        SCOPED_TRACE(opens_at);
        Rig rig;
        rig.station.fill_magazine(2);
        unsigned finger_calls = 0;
        rig.station.each_call = [&](const std::string& call) {
            if (call.rfind("finger.", 0) != 0) return;
            if (++finger_calls == opens_at) rig.station.guard_open = true;
        };
        const LotOutcome outcome = rig.run();
        EXPECT_TRUE(outcome.station_fault);
        EXPECT_THAT(outcome.reason, HasSubstr("guard"));
        EXPECT_EQ(finger_calls, opens_at);  // the one that found it open was the last
        for (const bool closed : rig.station.coils()) EXPECT_FALSE(closed);
        EXPECT_EQ(rig.last_run("U1")->verdict(), record::Verdict::no_verdict);
        EXPECT_EQ(Promises(rig).broken(), "");
    }
}

TEST(WayOut, NothingIsLoadedUnderAnOpenGuard) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.station.guard_open = true;
    const LotOutcome outcome = rig.run();
    EXPECT_TRUE(outcome.station_fault);
    EXPECT_THAT(outcome.reason, HasSubstr("guard"));
    EXPECT_EQ(rig.station.magazine.size(), 1U);
    EXPECT_TRUE(rig.station.moves.empty());
}

TEST(WayOut, AFixtureFaultLetsOtherNestsEndTheirStep) {
    Rig rig(quick_plan({.nests = 2}));
    rig.station.fill_magazine(4);
    std::size_t scans = 0;
    rig.station.each_call = [&](const std::string& call) {
        if (call == "unit.scan") ++scans;
        const bool now = scans >= 50 && call == "relays.set" && rig.station.fail_at == 0;
        if (now) rig.station.fail_at = rig.station.calls;
    };
    const LotOutcome outcome = rig.run();
    EXPECT_TRUE(outcome.station_fault);
    EXPECT_EQ(outcome.count.no_verdict, 2U);
    EXPECT_EQ(Promises(rig).broken(), "");
    EXPECT_TRUE(rig.station.safe());
    unsigned cut = 0, ended = 0;
    for (const auto& run : rig.journal.runs) {
        const record::Observations& seen = run.unit->observations;
        ASSERT_EQ(seen.faults.size(), 1U);
        const bool other = seen.faults[0].what.rfind("The lot ended", 0) == 0;
        // What was begun in the other nest was ended: its last readings are of a finished step.
        EXPECT_TRUE(!other || seen.readings.back().step == seen.steps_done.back());
        ++(other ? ended : cut);
    }
    EXPECT_EQ(cut, 1U);
    EXPECT_EQ(ended, 1U);
    EXPECT_EQ(rig.told<LotClosed>().size(), 1U);
    EXPECT_TRUE(rig.journal.lots.front().open);  // it may go on
}

TEST(WayOut, AStoppedLotEndsItsUnitsAndLoadsNoMore) {
    Rig rig(quick_plan({.nests = 2}));
    rig.station.fill_magazine(6);
    rig.on_event = [&](const Event& event) {
        const auto* identified = std::get_if<UnitIdentified>(&event);
        if (identified && identified->serial == "U3") rig.lot->stop_loading();
    };
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault);
    EXPECT_EQ(outcome.reason, "stopped by the operator");
    EXPECT_EQ(outcome.count.pass, outcome.count.loaded);
    EXPECT_EQ(rig.station.magazine.size(), 6U - outcome.count.loaded);
    EXPECT_LE(outcome.count.loaded, 4U);
}

TEST(WayOut, APersonWhoIsAskedIsNotWaitedForAfterAStop) {
    Rig rig(quick_plan({.handler = false}));
    rig.ask = [&](std::uint16_t) -> boost::asio::awaitable<std::optional<std::string>> {
        boost::asio::post(rig.context, [&] { rig.lot->stop_loading(); });
        co_await rig.clock.sleep_for(std::chrono::hours(8));
        co_return "never";
    };
    EXPECT_EQ(rig.run().count.loaded, 0U);
    EXPECT_LT(rig.clock.now().time_since_epoch(), std::chrono::minutes(1));
    EXPECT_EQ(rig.told<NestWaiting>().size(), 1U);
}

TEST(WayOut, CancellingTheRunAbortsItsUnitsInOrder) {
    Rig rig(quick_plan({.nests = 2}));
    rig.station.fill_magazine(4);
    boost::asio::cancellation_signal signal;
    rig.on_event = [&](const Event& event) {
        const auto* progress = std::get_if<StepProgress>(&event);
        if (progress && progress->step == "noise")
            boost::asio::post(rig.context,
                              [&] { signal.emit(boost::asio::cancellation_type::terminal); });
    };
    rig.lot = std::make_unique<LotRun>(rig.parts(), rig.plan, rig.options,
                                       [&](const Event& event) { rig.on_event(event); });
    LotOutcome outcome;
    boost::asio::co_spawn(
        rig.context, rig.lot->run(),
        boost::asio::bind_cancellation_slot(
            signal.slot(), [&](std::exception_ptr, LotOutcome ended) { outcome = ended; }));
    rig.clock.run_until_idle();
    EXPECT_EQ(outcome.reason, "stopped by the operator");
    EXPECT_EQ(outcome.count.no_verdict, 2U);
    EXPECT_TRUE(rig.station.safe());
    EXPECT_EQ(Promises(rig).broken(), "");
}

TEST(WayOut, AnExceptionIsABugThatStillEndsSafely) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.on_event = [&](const Event& event) {
        const auto* progress = std::get_if<StepProgress>(&event);
        if (progress && progress->step == "touch" && !progress->key.empty())
            throw std::logic_error("a bug");
    };
    EXPECT_THROW(rig.run(), std::logic_error);
    EXPECT_TRUE(rig.station.safe());
}

TEST(WayOut, ADeadUnitIsAUnitWithoutVerdictAndTheLotGoesOn) {
    Rig rig;
    rig.station.fill_magazine(2);
    bool first = true;
    rig.station.each_call = [&](const std::string& call) {
        if (call == "unit.identify" && std::exchange(first, false))
            rig.station.fail_at = rig.station.calls;
    };
    const LotOutcome outcome = rig.run();
    EXPECT_EQ(outcome.count, (record::LotCount{2, 1, 0, 0, 1, 0}));
    EXPECT_EQ(rig.journal.runs.front().start.serial, "");
    EXPECT_EQ(rig.journal.runs.front().unit->observations.faults.size(), 1U);
}

TEST(WayOut, ThreeSilentUnitsInARowCloseTheirNestOnly) {
    Rig rig(quick_plan({.nests = 2}));
    rig.station.fill_magazine(9);
    unsigned silent = 0;
    rig.station.silent_nest = 2;
    const LotOutcome outcome = rig.run();
    EXPECT_TRUE(outcome.station_fault);
    EXPECT_THAT(outcome.reason, HasSubstr("Nest 2 is closed"));
    for (const auto& run : rig.journal.runs) silent += run.start.nest == 2 ? 1 : 0;
    EXPECT_EQ(silent, 3U);
    EXPECT_EQ(outcome.count, (record::LotCount{9, 6, 0, 0, 3, 0}));
}

TEST(WayOut, ACommitIsNotCutOff) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.station.each_call = [&](const std::string& call) {
        if (call != "unit.commit") return;
        boost::asio::post(rig.context, [&] { rig.lot->abort_unit(1); });
    };
    rig.run();
    EXPECT_EQ(rig.station.unit("U1").commits, 1U);
    const auto& run = rig.journal.runs.front();
    EXPECT_EQ(run.stage(), record::WriteStage::committed);
    EXPECT_EQ(run.disposition, record::Disposition::quarantined);
}

std::string story_of(const Rig& rig) {
    std::string story;
    for (const auto& run : rig.journal.runs)
        story += run.start.serial + ": " + std::string(record::name_of(run.verdict())) + ". " +
                 run.reason + "\n";
    return story;
}

void run_until_stopped(Rig& rig, std::size_t call) {
    rig.station.stop_at = call;
    rig.station.each_call = [&](const std::string&) {
        rig.stopping.stopped |= rig.station.calls == call;
    };
    try {
        rig.run();
    } catch (const std::logic_error&) {
        // Everything waits for ever: that is the stop.
    }
    rig.station.stop_at = 0;
    rig.station.each_call = nullptr;
    rig.stopping.stopped = false;
}

// The station stops dead at each call in turn, as a kill would leave it: relays as they are, units
// as they are, nothing more stored. The next start has to account for every unit.
TEST(WayOut, AStopAtEachCallLosesNoUnitAndRunsNoneTwice) {
    const std::size_t all = calls_of_a_good_lot(2);
    unsigned quarantined = 0;
    for (std::size_t n = 1; n <= all; ++n) {
        SCOPED_TRACE("stopped at call " + std::to_string(n));
        Rig rig;
        rig.station.fill_magazine(2);
        run_until_stopped(rig, n);
        const LotOutcome outcome = rig.run();
        EXPECT_FALSE(outcome.station_fault) << outcome.reason;
        EXPECT_EQ(outcome.count.loaded, 2U);
        EXPECT_EQ(outcome.count.pass + outcome.count.no_verdict, 2U) << story_of(rig);
        EXPECT_EQ(Promises(rig).with_stops().broken(), "");
        quarantined += outcome.count.no_verdict;
    }
    EXPECT_GT(quarantined, 30U);
}

}  // namespace
}  // namespace padtrim::engine
