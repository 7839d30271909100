// Openings, closings and units set aside that were tampered with: every one is found and named.
#include "db/ledger/migrations.hpp"
#include "db/ledger/verify_records.hpp"
#include "tests/db/ledger/tampering.hpp"

namespace padtrim::ledger {
namespace {

using testing::Contains;
using testing::Field;
using testing::HasSubstr;

class TamperingWithActs : public Tampering {};

struct ActRow {
    const char *kind, *table, *id;
};
constexpr ActRow act_rows[] = {{"opening", "lot_opening", "id"},
                               {"closing", "lot_closing", "opening"},
                               {"set aside", "set_aside", "id"}};

TEST_F(TamperingWithActs, NamesTheActOfAnyValue) {
    for (int i = 0; i < tamper_tries(); ++i) {
        copy();
        const ActRow& act = act_rows[static_cast<std::size_t>(any(3))];
        const auto columns =
            column(std::string("SELECT name FROM pragma_table_info('") + act.table + "')");
        const std::string& name = columns[static_cast<std::size_t>(any(columns.size()))];
        const auto ids = column(std::string("SELECT ") + act.id + " FROM " + act.table);
        const std::string& id = ids[static_cast<std::size_t>(any(ids.size()))];
        change(act.table, name, std::string(act.id) + " = " + id);
        const ChainReport report = verify();
        EXPECT_THAT(report.findings, Contains(Field(&ChainFinding::what,
                                                    HasSubstr(std::string(act.kind) + " " + id))))
            << act.table << "." << name << "\n"
            << findings_text(report);
    }
}

TEST_F(TamperingWithActs, NamesWhatWasTakenOutOrPutIn) {
    for (int i = 0; i < tamper_tries(); ++i) {
        copy();
        const ActRow& act = act_rows[static_cast<std::size_t>(any(3))];
        const auto ids = column(std::string("SELECT ") + act.id + " FROM " + act.table);
        const std::string& id = ids[static_cast<std::size_t>(any(ids.size()))];
        const bool out = any(2) == 0;
        const std::string forged = std::to_string(500 + any(100));
        if (out)
            tool_->exec(std::string("DELETE FROM ") + act.table + " WHERE " + act.id + " = " + id);
        else if (act.table == std::string("lot_closing"))
            tool_->exec("INSERT INTO lot_closing (opening, at) VALUES (" + forged + ", 1)");
        else if (act.table == std::string("set_aside"))
            tool_->exec("INSERT INTO set_aside SELECT " + forged +
                        ", opening, lot, nest, 'forged', label, reason, at FROM set_aside"
                        " WHERE id = " +
                        id);
        else
            tool_->exec("INSERT INTO lot_opening SELECT " + forged +
                        ", lot, plan, operator, at FROM lot_opening WHERE id = " + id);
        const ChainReport report = verify();
        const std::string named = std::string(act.kind) + " " + (out ? id : forged);
        EXPECT_THAT(report.findings,
                    Contains(testing::AllOf(Field(&ChainFinding::fault,
                                                  out ? ChainFault::removed : ChainFault::inserted),
                                            Field(&ChainFinding::what, HasSubstr(named)))))
            << findings_text(report);
    }
}

TEST_F(TamperingWithActs, FromBeforeTheyWereInTheChainIsFoundSinceThen) {
    const std::string path = folder_.file("old.ledger");
    {
        Database old(path, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        ASSERT_TRUE(migrate(old, embedded_migrations().first(10), path));
        old.exec(
            "INSERT INTO station VALUES (1, 'S1');"
            "INSERT INTO plan VALUES ('h', 'text', 'r', 'A', 'p', 'f');"
            "INSERT INTO lot VALUES (1, 1, 'L', 0);"
            "INSERT INTO lot_opening VALUES (1, 1, 'h', 'anna', 5);"
            "INSERT INTO set_aside VALUES (1, 1, 1, 1, 'X', '', 'dropped', 6);");
    }
    boost::asio::io_context context;
    ASSERT_TRUE(Ledger::open(path, context.get_executor(), Writing::inline_calls));
    EXPECT_TRUE(verify_records(path)->sound()) << findings_text(*verify_records(path));
    EXPECT_EQ(verify_records(path)->links, 3 + 2);
    tool_ = std::make_unique<Database>(path, SQLite::OPEN_READWRITE);
    tool_->exec("DROP TRIGGER set_aside_unedited");
    tool_->exec("UPDATE set_aside SET reason = 'lost'");
    const auto report = verify_records(path).value();
    ASSERT_EQ(report.findings.size(), 1u) << findings_text(report);
    EXPECT_THAT(report.findings[0].what, HasSubstr("set aside 1 is not what was stored"));
}

}  // namespace
}  // namespace padtrim::ledger
