// The audit's rows: written once, told newest first, and edited by nobody.
#include <SQLiteCpp/SQLiteCpp.h>

#include "db/ledger/verify_records.hpp"
#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {
namespace {

using support::at_second;

class Audit : public OpenLedger {
  protected:
    record::AuditEntry entry(const std::string& who, std::int64_t second) {
        record::AuditEntry made;
        made.station = "line-3";
        made.at = at_second(second);
        made.who = who;
        made.role = "operator";
        made.address = "127.0.0.1";
        made.act = "POST /api/lot/start";
        made.asked = R"({"lot":"L"})";
        made.status = 202;
        made.before = R"({"state":"ready"})";
        made.after = R"({"state":"running"})";
        return made;
    }
    std::vector<record::AuditEntry> told(const record::AuditFilter& filter = {}) {
        return reader_->audit(filter).value();
    }
};

TEST_F(Audit, KeepsAnEntryAsItWasGiven) {
    auto given = entry("M", 10);
    ASSERT_TRUE(run(ledger_->keep_audit(given)));
    given.id = 1;
    ASSERT_EQ(told().size(), 1U);
    EXPECT_EQ(told()[0], given);
}

TEST_F(Audit, TellsTheNewestFirstAndOnlyWhatIsAskedFor) {
    for (int second = 1; second <= 5; ++second)
        ASSERT_TRUE(run(ledger_->keep_audit(entry(second % 2 ? "M" : "N", second))));
    EXPECT_EQ(told().front().at, at_second(5));
    record::AuditFilter filter;
    filter.who = "N";
    EXPECT_EQ(told(filter).size(), 2U);
    filter = {};
    filter.since = at_second(2);
    filter.until = at_second(4);
    EXPECT_EQ(told(filter).size(), 2U);
    filter = {};
    filter.before = 3;
    EXPECT_EQ(told(filter).front().id, 2);
    filter.most = 1;
    EXPECT_EQ(told(filter).size(), 1U);
}

TEST_F(Audit, NobodyEditsOrRemovesAnEntry) {
    ASSERT_TRUE(run(ledger_->keep_audit(entry("M", 10))));
    SQLite::Database other(path_, SQLite::OPEN_READWRITE);
    EXPECT_THROW(other.exec("UPDATE audit SET who = 'somebody else'"), SQLite::Exception);
    EXPECT_THROW(other.exec("DELETE FROM audit"), SQLite::Exception);
    EXPECT_EQ(told()[0].who, "M");
}

TEST_F(Audit, AnEntryWithoutAnActIsRefused) {
    auto nothing = entry("M", 10);
    nothing.act.clear();
    EXPECT_FALSE(run(ledger_->keep_audit(nothing)));
    EXPECT_TRUE(told().empty());
}

}  // namespace
}  // namespace padtrim::ledger
