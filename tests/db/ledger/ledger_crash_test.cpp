// What a ledger holds after its process was killed: all that was acknowledged, and nothing half.
#include <functional>

#include <SQLiteCpp/SQLiteCpp.h>
#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "db/ledger/verify_records.hpp"
#include "tests/support/await.hpp"
#include "tests/support/child_process.hpp"
#include "tests/support/lot_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::ledger {
namespace {

using record::Verdict;
using record::WriteStage;
using support::await;
using support::ChildProcess;
using support::TemporaryFolder;

// A unit's way through the journal, one act after the other; `done` hears of each.
void one_unit(boost::asio::io_context& context, Ledger& ledger, record::LotId lot,
              const std::string& serial, const std::function<void()>& done) {
    const auto act = [&](const auto& result) {
        if (!result) _exit(4);
        done();
    };
    const auto run = await(context, ledger.start_run(support::sample_run(lot, serial)));
    act(run);
    act(await(context, ledger.intend(*run, support::sample_intent())));
    for (const WriteStage stage : {WriteStage::written, WriteStage::read_back,
                                   WriteStage::committed, WriteStage::power_cycled})
        act(await(context, ledger.reached(*run, stage)));
    record::UnitRecord unit = support::sample_unit();
    unit.write_stage = WriteStage::verified;
    act(await(context, ledger.finish(*run, unit)));
}

// Opens a lot and sends units through for as long as it lives, one letter an act.
void work_until_killed(const std::string& path, Writing how, const ChildProcess::Voice& parent) {
    boost::asio::io_context context;
    auto ledger = std::move(Ledger::open(path, context.get_executor(), how).value());
    const auto lot = await(context, ledger->open_lot(support::sample_lot())).value();
    parent.say("o");
    for (int unit = 1;; ++unit)
        one_unit(context, *ledger, lot, "A" + std::to_string(unit), [&] { parent.say("."); });
}

constexpr int acts_a_unit = 7;

// What must be there after so many acknowledged acts. The act after them may have been stored too.
void expect_acts(const std::string& path, int acknowledged) {
    SQLite::Database tool(path, SQLite::OPEN_READONLY);
    EXPECT_EQ(tool.execAndGet("PRAGMA integrity_check").getString(), "ok");
    EXPECT_EQ(tool.execAndGet("SELECT count(*) FROM pragma_foreign_key_check").getInt(), 0);
    const int stored = tool.execAndGet(
                               "SELECT (SELECT count(*) FROM run) + (SELECT count(*) FROM run_end)"
                               " + (SELECT count(*) FROM write_stage WHERE stage <> 'verified')")
                           .getInt();
    EXPECT_GE(stored, acknowledged);
    EXPECT_LE(stored, acknowledged + 1);
}

TEST(LedgerCrash, HoldsEveryAcknowledgedActAfterAKillBetweenActs) {
    for (int acts = 0; acts <= 2 * acts_a_unit; ++acts) {
        TemporaryFolder folder;
        const std::string path = folder.file("station.ledger");
        ChildProcess station([&](const ChildProcess::Voice& parent) {
            int left = acts;
            boost::asio::io_context context;
            auto ledger = std::move(
                Ledger::open(path, context.get_executor(), Writing::inline_calls).value());
            const auto lot = await(context, ledger->open_lot(support::sample_lot())).value();
            const auto die_in_time = [&left] {
                if (left-- <= 0) raise(SIGKILL);
            };
            die_in_time();
            for (const char* serial : {"A1", "A2", "A3"})
                one_unit(context, *ledger, lot, serial, die_in_time);
            parent.say("lived");
        });
        ASSERT_EQ(station.hear_all(), "");
        SCOPED_TRACE(acts);
        expect_acts(path, acts);

        boost::asio::io_context context;
        auto ledger =
            std::move(Ledger::open(path, context.get_executor(), Writing::inline_calls).value());
        const auto open = await(context, ledger->unfinished("S1")).value();
        const int into_unit = acts % acts_a_unit;
        ASSERT_EQ(open.size(), into_unit == 0 ? 0U : 1U);
        if (open.empty()) continue;
        // One act is the run's start, then the stages come in their order.
        EXPECT_EQ(open[0].stage, static_cast<WriteStage>(into_unit - 1));
        ASSERT_TRUE(await(context, ledger->settle(open[0].run, record::Disposition::quarantined,
                                                  "station stopped", support::at_second(99))));
        EXPECT_TRUE(await(context, ledger->unfinished("S1")).value().empty());
    }
}

// The kill comes right after an acknowledgement was heard, so somewhere in the act behind it.
TEST(LedgerCrash, HoldsEveryAcknowledgedActAfterAKillInTheMiddleOfOne) {
    for (const int acts : {1, 2, 3, 7, 8, 15, 23, 50}) {
        for (const Writing how : {Writing::inline_calls, Writing::writer_thread}) {
            TemporaryFolder folder;
            const std::string path = folder.file("station.ledger");
            ChildProcess station(
                [&](const ChildProcess::Voice& parent) { work_until_killed(path, how, parent); });
            ASSERT_EQ(station.hear(), 'o');
            for (int i = 0; i < acts; ++i) ASSERT_EQ(station.hear(), '.');
            station.kill_now();
            // What the child said before it died and nobody heard is acknowledged too.
            const int heard = acts + static_cast<int>(station.hear_all().size());
            SCOPED_TRACE(heard);
            expect_acts(path, heard);
        }
    }
}

TEST(LedgerCrash, LeavesAFinishedUnitWholeOrNotAtAll) {
    TemporaryFolder folder;
    const std::string path = folder.file("station.ledger");
    ChildProcess station([&](const ChildProcess::Voice& parent) {
        work_until_killed(path, Writing::inline_calls, parent);
    });
    for (int i = 0; i <= 20 * acts_a_unit - 1; ++i) ASSERT_NE(station.hear(), '\0');
    station.kill_now();
    const ChainReport chain = verify_records(path).value();
    EXPECT_TRUE(chain.sound());
    EXPECT_LE(chain.ahead, 1);
    auto reader = std::move(Reader::open(path).value());
    const auto lot = reader->lot("L-1").value().value();
    const LotReconciliation sums = reader->reconcile(lot.lot).value();
    EXPECT_EQ(sums.counted, sums.kept) << "the rollups hold what the runs do";
    std::size_t whole = 0;
    for (const TapeMark& mark : reader->tape(lot.lot).value()) {
        if (!mark.ended) continue;
        ++whole;
        const StoredRun run = reader->stored_run(mark.run).value().value();
        EXPECT_EQ(run.observations, support::sample_unit().observations);
        EXPECT_EQ(run.result, support::sample_unit().result);
    }
    EXPECT_GE(whole, 19U);
}

}  // namespace
}  // namespace padtrim::ledger
