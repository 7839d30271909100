#include "db/ledger/backup.hpp"

#include <filesystem>
#include <fstream>

#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>

#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {
namespace {

using testing::HasSubstr;

class LedgerCopies : public OpenLedger {
  protected:
    void put(int units) {
        const auto lot = run(ledger_->open_lot(support::sample_lot())).value();
        for (int i = 0; i < units; ++i) {
            const auto id =
                run(ledger_->start_run(support::sample_run(lot, "A" + std::to_string(++serial_))))
                    .value();
            record::UnitRecord unit = support::sample_unit();
            unit.write_stage = record::WriteStage::untouched;
            run(ledger_->finish(id, unit)).value();
        }
    }
    void stop() {
        reader_.reset();
        ledger_.reset();
    }
    std::size_t units_in(const std::string& path) {
        auto reader = std::move(Reader::open(path).value());
        std::size_t units = 0;
        for (const LotSummary& lot : reader->lots().value()) units += lot.count.loaded;
        return units;
    }
    void tamper(const std::string& path, const std::string& sql) {
        SQLite::Database tool(path, SQLite::OPEN_READWRITE);
        tool.exec(
            "PRAGMA journal_mode = DELETE; DROP TRIGGER run_end_unedited;"
            "DROP TRIGGER run_end_undeleted;" +
            sql);
    }
    int serial_ = 0;
    const std::string copy_ = folder_.file("copy.ledger");
};

TEST_F(LedgerCopies, AreTakenBesideARunningStationAndVerified) {
    put(5);
    const CopyReport report = back_up(path_, copy_).value();
    EXPECT_EQ(report.runs, 5);
    EXPECT_EQ(report.lots, 1);
    EXPECT_EQ(report.observations, 5);
    EXPECT_EQ(report.bytes, std::filesystem::file_size(copy_));
    EXPECT_TRUE(report.chain.sound());
    EXPECT_TRUE(report.chain.sealed);
    put(2);
    EXPECT_EQ(units_in(copy_), 5U);
    EXPECT_EQ(units_in(path_), 7U);
    EXPECT_THAT(back_up(path_, copy_).error().what, HasSubstr("is there already"));
    EXPECT_FALSE(std::filesystem::exists(copy_ + ".part"));
    EXPECT_FALSE(std::filesystem::exists(copy_ + ".key"));
}

TEST_F(LedgerCopies, ArePutBackAndWhatStoodThereIsKept) {
    put(5);
    ASSERT_TRUE(back_up(path_, copy_));
    put(2);
    EXPECT_EQ(restore(copy_, path_).error().kind, journal::StoreFaultKind::locked);
    stop();
    const RestoreReport report = restore(copy_, path_).value();
    EXPECT_EQ(report.copy.runs, 5);
    EXPECT_EQ(units_in(path_), 5U);
    EXPECT_EQ(units_in(report.kept_as), 7U);
    // The station goes on, and the chain says that two records of then are lost.
    ledger_ =
        std::move(Ledger::open(path_, context_.get_executor(), Writing::inline_calls).value());
    put(1);
    const ChainReport chain = verify_records(path_).value();
    ASSERT_EQ(chain.findings.size(), 1U);
    EXPECT_EQ(chain.findings[0].fault, ChainFault::tail_cut);
    EXPECT_TRUE(chain.findings[0].noted);
    EXPECT_THAT(chain.findings[0].what, HasSubstr("an older copy was put in place"));
    // What the station noted itself does not stand in the way of later copies.
    EXPECT_TRUE(back_up(path_, folder_.file("second.ledger")));
}

TEST_F(LedgerCopies, GoWhereNoLedgerIs) {
    put(3);
    ASSERT_TRUE(back_up(path_, copy_));
    stop();
    const std::string elsewhere = folder_.file("elsewhere.ledger");
    const RestoreReport report = restore(copy_, elsewhere).value();
    EXPECT_EQ(report.kept_as, "");
    EXPECT_FALSE(report.copy.chain.sealed) << "its key is not there";
    EXPECT_EQ(units_in(elsewhere), 3U);
}

TEST_F(LedgerCopies, ThatAreNotSoundReplaceNothing) {
    put(4);
    ASSERT_TRUE(back_up(path_, copy_));
    stop();
    const auto refused = [&](const std::string& copy) {
        const auto restored = restore(copy, path_);
        EXPECT_EQ(units_in(path_), 4U);
        EXPECT_FALSE(std::filesystem::exists(path_ + ".part"));
        return restored ? "" : restored.error().what;
    };
    const std::string bad = folder_.file("bad.ledger");
    const auto fresh = [&] {
        std::filesystem::copy_file(copy_, bad, std::filesystem::copy_options::overwrite_existing);
        std::filesystem::copy_file(copy_ + ".anchor", bad + ".anchor",
                                   std::filesystem::copy_options::overwrite_existing);
    };
    fresh();
    tamper(bad, "UPDATE run_end SET reason = 'better' WHERE run = 2");
    EXPECT_THAT(refused(bad), HasSubstr("run 2 is not what was stored"));
    fresh();
    tamper(bad, "DELETE FROM rollup_units");
    EXPECT_THAT(refused(bad), HasSubstr("the rollups count 0"));
    fresh();
    std::filesystem::resize_file(bad, std::filesystem::file_size(bad) / 2);
    EXPECT_NE(refused(bad), "");
    fresh();
    {
        std::fstream file(bad, std::ios::in | std::ios::out | std::ios::binary);
        file.seekp(8192);
        file << std::string(8192, 'x');
    }
    EXPECT_NE(refused(bad), "");
    EXPECT_NE(refused(folder_.file("no.ledger")), "");
    std::ofstream(bad) << "not a ledger at all";
    EXPECT_NE(refused(bad), "");
}

TEST_F(LedgerCopies, OfADamagedLedgerAreNotTaken) {
    put(4);
    stop();
    tamper(path_, "UPDATE run_end SET verdict = 'fail' WHERE run = 3");
    const auto refused = back_up(path_, copy_);
    ASSERT_FALSE(refused);
    EXPECT_THAT(refused.error().what, HasSubstr("run 3"));
    EXPECT_FALSE(std::filesystem::exists(copy_));
    EXPECT_FALSE(std::filesystem::exists(copy_ + ".part"));
}

}  // namespace
}  // namespace padtrim::ledger
