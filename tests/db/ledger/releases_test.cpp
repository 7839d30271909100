// Releases, permits and the right by which lots ran, as the ledger keeps them.
#include <SQLiteCpp/SQLiteCpp.h>
#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {
namespace {

using record::PermissionKind;
using support::at_second;

class LedgerReleases : public OpenLedger {
  protected:
    static record::PlanCopy plan(const std::string& hash = "5f1e") {
        const auto lot = support::sample_lot();
        return {hash,        hash == lot.plan_hash ? lot.plan_text : "other",
                lot.recipe,  lot.recipe_revision,
                lot.product, lot.fixture};
    }
    std::int64_t release(const std::string& hash = "5f1e") {
        record::Release release;
        release.plan = plan(hash);
        release.at = at_second(5);
        release.who = "M";
        release.why = "trial lot";
        return run(ledger_->release(release)).value();
    }
    std::int64_t permit(std::int64_t release) {
        record::Permit permit;
        permit.name = "wider noise";
        permit.plan = plan("d00d");
        permit.release = release;
        permit.changes = {"One changed.", "Another changed."};
        permit.quantity = 3;
        permit.until = at_second(100);
        permit.at = at_second(6);
        permit.who = "M";
        permit.why = "batch 17";
        return run(ledger_->permit(permit)).value();
    }
    record::LotId open(const std::string& name, record::Permission permission,
                       const std::string& hash = "5f1e") {
        auto start = support::sample_lot(name);
        start.plan_hash = hash;
        start.plan_text = plan(hash).text;
        start.permission = permission;
        return run(ledger_->open_lot(start)).value();
    }
    void put(record::LotId lot, const std::string& serial,
             record::Verdict verdict = record::Verdict::pass) {
        const auto id = run(ledger_->start_run(support::sample_run(lot, serial))).value();
        EXPECT_TRUE(run(ledger_->finish(id, support::sample_unit(verdict))));
    }
};

TEST_F(LedgerReleases, KeepWhoAndWhyNewestFirst) {
    const auto first = release();
    const auto second = release("beef");
    const auto releases = reader_->releases().value();
    ASSERT_EQ(releases.size(), 2U);
    EXPECT_EQ(releases[0].id, second);
    EXPECT_EQ(releases[1].id, first);
    EXPECT_EQ(releases[1].who, "M");
    EXPECT_EQ(releases[1].why, "trial lot");
    EXPECT_EQ(releases[1].plan.text, support::sample_lot().plan_text);
    EXPECT_EQ(releases[1].at, at_second(5));
    EXPECT_FALSE(releases[1].withdrawn);
}

TEST_F(LedgerReleases, StayInTheBooksWhenWithdrawn) {
    const auto id = release();
    EXPECT_TRUE(run(ledger_->withdraw(id, "M", "a mistake", at_second(9))));
    EXPECT_EQ(reader_->releases().value().at(0).withdrawn, at_second(9));
    EXPECT_FALSE(run(ledger_->withdraw(id, "M", "again", at_second(10))));
    EXPECT_FALSE(run(ledger_->withdraw(99, "M", "none such", at_second(10))));
}

TEST_F(LedgerReleases, AreRefusedWithoutAPersonOrAReason) {
    record::Release nameless;
    nameless.plan = plan();
    nameless.why = "because";
    EXPECT_FALSE(run(ledger_->release(nameless)));
    nameless.who = "M";
    nameless.why = "";
    EXPECT_FALSE(run(ledger_->release(nameless)));
    EXPECT_TRUE(reader_->releases().value().empty());
}

TEST_F(LedgerReleases, PermitsCountTheUnitsThatRanUnderThem) {
    const auto number = permit(release());
    const auto lot = open("P", {PermissionKind::permit, number}, "d00d");
    put(lot, "A", record::Verdict::fail);
    put(lot, "A");
    put(lot, "B");
    (void)run(ledger_->start_run(support::sample_run(lot, "C")));
    const auto permits = reader_->permits().value();
    ASSERT_EQ(permits.size(), 1U);
    EXPECT_EQ(permits[0].used, 3U) << "units, not runs; one that runs now too";
    EXPECT_EQ(permits[0].changes, (std::vector<std::string>{"One changed.", "Another changed."}));
    EXPECT_EQ(permits[0].until, at_second(100));
    const auto runs = reader_->runs_under(number).value();
    ASSERT_EQ(runs.size(), 4U);
    EXPECT_EQ(runs[0].serial, "A");
    EXPECT_EQ(runs[0].permission, (record::Permission{PermissionKind::permit, number}));
    EXPECT_EQ(runs[0].unit, runs[1].unit);
}

TEST_F(LedgerReleases, EveryRunSaysByWhatRightItRan) {
    const auto number = release();
    put(open("R", {PermissionKind::released, number}), "A");
    put(open("D", {PermissionKind::draft, 0}), "B");
    put(open("N", {}), "C");
    EXPECT_EQ(reader_->runs_of("A").value().at(0).permission.kind, PermissionKind::released);
    EXPECT_EQ(reader_->runs_of("A").value().at(0).permission.id, number);
    EXPECT_EQ(reader_->runs_of("B").value().at(0).permission.kind, PermissionKind::draft);
    EXPECT_EQ(reader_->runs_of("C").value().at(0).permission.kind, PermissionKind::none);
    EXPECT_EQ(reader_->lot("D").value()->permission.kind, PermissionKind::draft);
}

TEST_F(LedgerReleases, DraftsStayOutOfProductionYield) {
    put(open("R", {PermissionKind::released, release()}), "A");
    put(open("D", {PermissionKind::draft, 0}), "B");
    YieldFilter filter;
    EXPECT_EQ(reader_->yield(filter, YieldBy::everything).value().at(0).count.units, 1U);
    filter.drafts = true;
    EXPECT_EQ(reader_->yield(filter, YieldBy::everything).value().at(0).count.units, 2U);
}

TEST_F(LedgerReleases, VisitChecksAsTheyAreStored) {
    const auto lot = open("L", {});
    for (const std::string serial : {"A", "B", "C"}) put(lot, serial);
    std::vector<record::RunId> ids;
    for (const auto& each : reader_->runs({}).value()) ids.push_back(each.run);
    ASSERT_EQ(ids.size(), 3U);
    std::vector<CheckPlace> places;
    std::size_t seen = 0;
    ASSERT_TRUE(reader_->visit_checks(ids, places, [&](std::size_t run, auto checks) {
        EXPECT_EQ(run, seen++);
        ASSERT_EQ(checks.size(), 2U);
        EXPECT_EQ(checks[0].value, 812.4);
        EXPECT_EQ(places.at(checks[0].place).check, "gain");
        EXPECT_EQ(places.at(checks[0].place).measure, "counts/pF");
    }));
    EXPECT_EQ(seen, 3U);
    EXPECT_EQ(places.size(), 1U) << "named once";
}

TEST_F(LedgerReleases, FilterRunsByTimeAndLot) {
    put(open("L1", {}), "A");
    put(open("L2", {}), "B");
    RunFilter filter;
    filter.lot = "L2";
    ASSERT_EQ(reader_->runs(filter).value().size(), 1U);
    EXPECT_EQ(reader_->runs(filter).value().at(0).serial, "B");
    filter = {};
    filter.since = at_second(10);  // the samples start then
    EXPECT_EQ(reader_->runs(filter).value().size(), 2U);
    filter.since = at_second(11);
    EXPECT_EQ(reader_->runs(filter).value().size(), 0U);
    filter.since.reset();
    filter.until = at_second(10);
    EXPECT_EQ(reader_->runs(filter).value().size(), 0U);
}

}  // namespace
}  // namespace padtrim::ledger
