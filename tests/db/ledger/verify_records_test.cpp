// Records that were tampered with behind the station's back, at random from a seed: every one is
// found and named. 40 tries of each kind; 1000 with PADTRIM_LONG=1 (tests/run --long).
#include "db/ledger/verify_records.hpp"

#include <cstdlib>
#include <filesystem>
#include <random>

#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>

#include "db/ledger/migrations.hpp"
#include "db/ledger/record_chain.hpp"
#include "db/ledger/seal_key.hpp"
#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {
namespace {

using testing::Contains;
using testing::Field;
using testing::HasSubstr;

int tamper_tries() {
    const char* longer = std::getenv("PADTRIM_LONG");
    return longer != nullptr && std::string(longer) == "1" ? 1000 : 40;
}

std::string findings_text(const ChainReport& report) {
    std::string text;
    for (const ChainFinding& finding : report.findings)
        text += std::string(name_of(finding.fault)) + " " + std::to_string(finding.sequence) +
                ": " + finding.what + "\n";
    return text;
}

// A ledger of 14 runs: written to and not, tried again, settled, decided on by people; two units
// set aside.
class Tampering : public testing::Test {
  protected:
    void SetUp() override {
        boost::asio::io_context context;
        const auto run = [&](auto task) { return support::await(context, std::move(task)); };
        auto ledger =
            std::move(Ledger::open(good_, context.get_executor(), Writing::inline_calls).value());
        const auto lot = run(ledger->open_lot(support::sample_lot())).value();
        for (int i = 0; i < 14; ++i) {
            const std::string serial = "A" + std::to_string(i % 11);
            const auto id = run(ledger->start_run(support::sample_run(lot, serial))).value();
            record::UnitRecord unit = support::sample_unit();
            unit.write_stage = record::WriteStage::untouched;
            if (i % 3 == 0) {
                run(ledger->intend(id, support::sample_intent())).value();
                unit.write_stage = record::WriteStage::verified;
            }
            if (i % 5 == 4) {
                run(ledger->settle(id, record::Disposition::quarantined, "stopped",
                                   support::at_second(50)))
                    .value();
            } else {
                run(ledger->finish(id, unit)).value();
            }
            if (i % 6 == 3)
                run(ledger->set_aside(
                        {lot, 1, "B" + std::to_string(i), "", "dropped", support::at_second(55)}))
                    .value();
            if (i % 4 == 1)
                run(ledger->decide(id, record::Disposition::scrap, "QA", "scratched",
                                   support::at_second(60)))
                    .value();
        }
        run(ledger->close_lot(lot, support::at_second(99))).value();
    }

    // A fresh copy, open to all that its triggers forbid.
    Database& copy() {
        tool_.reset();
        for (const char* part : {"", ".key", ".anchor"})
            std::filesystem::copy_file(good_ + part, path_ + part,
                                       std::filesystem::copy_options::overwrite_existing);
        for (const char* part : {"-wal", "-shm"}) std::filesystem::remove(path_ + part);
        tool_ = std::make_unique<Database>(path_, SQLite::OPEN_READWRITE);
        tool_->exec("PRAGMA synchronous = OFF; PRAGMA ignore_check_constraints = ON");
        const auto triggers = column("SELECT name FROM sqlite_schema WHERE type = 'trigger'");
        tool_->exec("BEGIN");
        for (const std::string& trigger : triggers) tool_->exec("DROP TRIGGER " + trigger);
        return *tool_;
    }
    ChainReport verify() {
        tool_->exec("COMMIT");
        return verify_records(path_).value();
    }
    std::vector<std::string> column(const std::string& query) {
        SQLite::Statement row(*tool_, query);
        std::vector<std::string> found;
        while (row.executeStep()) found.push_back(row.getColumn(0));
        return found;
    }
    std::int64_t number(const std::string& query) { return tool_->execAndGet(query).getInt64(); }
    std::int64_t any(std::int64_t below) {
        return static_cast<std::int64_t>(random_() % static_cast<std::uint64_t>(below));
    }
    std::int64_t any_run() { return 1 + any(14); }
    std::int64_t link_of(std::int64_t run) {
        return number("SELECT sequence FROM record_link WHERE kind = 'run' AND subject = " +
                      std::to_string(run));
    }

    // Another value of the same kind in one column of one row.
    void change(const std::string& table, const std::string& column, const std::string& where) {
        tool_->exec("UPDATE " + table + " SET \"" + column + "\" = CASE typeof(\"" + column +
                    "\") WHEN 'integer' THEN \"" + column + "\" + 1000003 WHEN 'real' THEN \"" +
                    column + "\" * 1.0000000001 + 1e-9 WHEN 'null' THEN 7 WHEN 'text' THEN \"" +
                    column + "\" || ' ' ELSE CAST(substr(\"" + column + "\", 1, length(\"" +
                    column + "\") - 1) || x'5A5B' AS BLOB) END WHERE " + where);
    }
    // Links from `sequence` on as someone without the key would make them.
    void recompute(std::int64_t sequence, const SealKey& key);

    support::TemporaryFolder folder_;
    const std::string good_ = folder_.file("good.ledger"), path_ = folder_.file("bad.ledger");
    std::unique_ptr<Database> tool_;
    std::mt19937_64 random_{20261};
};

void Tampering::recompute(std::int64_t sequence, const SealKey& key) {
    RecordDigests digests(*tool_);
    ChainActs acts(*tool_);
    Digest before{};
    if (sequence > 1) {
        Query row(*tool_, "SELECT link FROM record_link WHERE sequence = ?");
        row.with(sequence - 1).next();
        const auto bytes = row.bytes_at(0);
        std::copy(bytes.begin(), bytes.end(), before.begin());
    }
    Query row(*tool_, "SELECT sequence, kind, subject FROM record_link WHERE sequence >= ?");
    row.with(sequence);
    while (row.next()) {
        Link link{row.integer_at(0), LinkKind::run, row.integer_at(2), std::nullopt, {}};
        if (row.text_at(1) == "disposition") {
            link.kind = LinkKind::disposition;
            link.content = digests.of_disposition(link.subject).value();
        } else if (const auto act = act_kind_of(row.text_at(1))) {
            link.kind = LinkKind::act;
            link.act = *act;
            link.content = acts.digest_of_act(*act, link.subject).value();
        } else {
            link.observation = digests.of_observation(link.subject);
            link.content = digests.of_run(link.subject, link.observation).value();
        }
        before = link_digest(before, link);
        const Digest seal = seal_of(key, before);
        std::optional<Bytes> observation;
        if (link.observation)
            observation = Bytes(link.observation->begin(), link.observation->end());
        Query(*tool_,
              "UPDATE record_link SET observation = ?, content = ?, link = ?, seal = ?"
              " WHERE sequence = ?")
            .with(observation, Bytes(link.content.begin(), link.content.end()),
                  Bytes(before.begin(), before.end()), Bytes(seal.begin(), seal.end()),
                  link.sequence)
            .run();
    }
}

TEST_F(Tampering, IsNotSeenWhereNothingWasDone) {
    const ChainReport report = verify_records(good_).value();
    EXPECT_TRUE(report.sound()) << findings_text(report);
    EXPECT_EQ(report.runs, 14);
    EXPECT_EQ(report.links, 3 + 14 + 4 + 1 + 2 + 1) << "beginnings, runs, decisions, acts";
    EXPECT_EQ(report.before, 0);
    EXPECT_EQ(report.ahead, 0);
    EXPECT_TRUE(report.sealed);
    EXPECT_EQ(std::filesystem::status(good_ + ".key").permissions(),
              std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
}

TEST_F(Tampering, WithAnyValueOfARecordNamesTheRun) {
    const std::vector<std::pair<std::string, std::string>> tables = {
        {"run", "id"},           {"run_end", "run"},           {"disposition", "run"},
        {"observation", "run"},  {"check_result", "run"},      {"channel_line", "run"},
        {"write_intent", "run"}, {"write_intent_trim", "run"}, {"write_stage", "run"},
    };
    int changed = 0;
    for (int i = 0; i < tamper_tries(); ++i) {
        copy();
        const auto& [table, key] = tables[static_cast<std::size_t>(any(tables.size()))];
        const auto columns = column("SELECT name FROM pragma_table_info('" + table +
                                    "') WHERE name NOT IN ('" + key + "')");
        const std::string& name = columns[static_cast<std::size_t>(any(columns.size()))];
        const std::int64_t run = any_run();
        const auto first_column = columns.front();
        const std::string where =
            key + " = " + std::to_string(run) +
            (table == "run" || table == "run_end"
                 ? std::string()
                 : " AND \"" + first_column + "\" = (SELECT max(\"" + first_column + "\") FROM " +
                       table + " WHERE run = " + std::to_string(run) + ")");
        // A place's number is changed only where that clashes with no other.
        change(table, name, where);
        if (tool_->getChanges() == 0) {
            tool_->exec("COMMIT");
            continue;
        }
        ++changed;
        const ChainReport report = verify();
        EXPECT_THAT(report.findings, Contains(Field(&ChainFinding::run, run)))
            << table << "." << name << " of run " << run << "\n"
            << findings_text(report);
    }
    EXPECT_GT(changed, tamper_tries() / 2);
}

TEST_F(Tampering, WithALinkNamesIt) {
    for (int i = 0; i < tamper_tries(); ++i) {
        copy();
        const auto columns =
            std::vector<std::string>{"kind", "subject", "content", "link", "seal", "observation"};
        const std::string& name = columns[static_cast<std::size_t>(any(columns.size()))];
        const std::int64_t sequence = link_of(any_run());
        tool_->exec("DROP INDEX record_link_of");
        change("record_link", name, "sequence = " + std::to_string(sequence));
        const ChainReport report = verify();
        EXPECT_THAT(report.findings, Contains(Field(&ChainFinding::sequence, sequence)))
            << name << "\n"
            << findings_text(report);
    }
}

TEST_F(Tampering, ByPuttingARecordInNamesItsRun) {
    for (int i = 0; i < tamper_tries(); ++i) {
        copy();
        const std::string like = std::to_string(any_run());
        const std::string run = std::to_string(15 + any(100));
        tool_->exec(
            "INSERT INTO run SELECT " + run +
            ", opening, lot, nest, 'forged', label, 1, NULL, started FROM run WHERE id = " + like);
        tool_->exec("INSERT INTO run_end SELECT " + run +
                    ", how, at, 'pass', stage, reason, next_step, formula_version FROM run_end"
                    " WHERE run = " +
                    like);
        tool_->exec("INSERT INTO disposition (run, at, disposition, who, reason) VALUES (" + run +
                    ", 1, 'released', 'station', '')");
        if (any(2) == 0) tool_->exec("INSERT INTO ending (run) VALUES (" + run + ")");
        if (any(2) == 0) {  // with a link that fits the one before, and a seal of no station
            tool_->exec("INSERT INTO record_link SELECT max(sequence) + 1, 'run', " + run +
                        ", NULL, x'', x'', x'' FROM record_link");
            recompute(number("SELECT max(sequence) FROM record_link"), SealKey{9});
        }
        const ChainReport report = verify();
        ASSERT_EQ(report.findings.size(), 1U) << findings_text(report);
        EXPECT_EQ(report.findings[0].fault, ChainFault::inserted);
        EXPECT_EQ(report.findings[0].run, std::stoll(run));
    }
}

TEST_F(Tampering, ByPuttingADecisionInNamesItsRun) {
    copy();
    tool_->exec(
        "INSERT INTO disposition (run, at, disposition, who, reason)"
        " VALUES (3, 1, 'released', 'QA', 'fine')");
    const ChainReport report = verify();
    ASSERT_EQ(report.findings.size(), 1U) << findings_text(report);
    EXPECT_EQ(report.findings[0].fault, ChainFault::inserted);
    EXPECT_EQ(report.findings[0].run, 3);
}

// Openings and closings of lots, and units set aside.
struct ActRow {
    const char *kind, *table, *id;
};
constexpr ActRow act_rows[] = {{"opening", "lot_opening", "id"},
                               {"closing", "lot_closing", "opening"},
                               {"set aside", "set_aside", "id"}};

TEST_F(Tampering, WithAnyValueOfAnActNamesIt) {
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

TEST_F(Tampering, ByTakingAnActOutOrPuttingOneInNamesIt) {
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

TEST_F(Tampering, WithActsFromBeforeTheyWereInTheChainIsFoundSinceThen) {
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

TEST_F(Tampering, ByTakingARecordOutNamesItsPlace) {
    for (int i = 0; i < tamper_tries(); ++i) {
        copy();
        const std::int64_t run = 1 + any(13);  // the last one would be a tail that was cut
        const std::string id = std::to_string(run);
        const std::int64_t sequence = link_of(run);
        const bool with_link = any(2) == 0;
        for (const char* table : {"observation", "check_result", "channel_line", "write_stage",
                                  "write_intent_trim", "write_intent", "ending", "run_end"})
            tool_->exec(std::string("DELETE FROM ") + table + " WHERE run = " + id);
        if (with_link) {
            tool_->exec("DELETE FROM record_link WHERE (kind = 'run' AND subject = " + id +
                        ") OR (kind = 'disposition' AND subject IN (SELECT id FROM disposition"
                        " WHERE run = " +
                        id + "))");
        }
        tool_->exec("DELETE FROM disposition WHERE run = " + id);
        tool_->exec("DELETE FROM run WHERE id = " + id);
        const ChainReport report = verify();
        EXPECT_THAT(report.findings,
                    Contains(testing::AllOf(Field(&ChainFinding::fault, ChainFault::removed),
                                            Field(&ChainFinding::sequence, sequence))))
            << findings_text(report);
        for (const ChainFinding& finding : report.findings)
            EXPECT_EQ(finding.fault, ChainFault::removed) << findings_text(report);
    }
}

TEST_F(Tampering, ByTakingObservationsOutNamesTheRun) {
    copy();
    tool_->exec("DELETE FROM observation WHERE run = 7");
    const ChainReport report = verify();
    ASSERT_EQ(report.findings.size(), 1U) << findings_text(report);
    EXPECT_EQ(report.findings[0].run, 7);
    EXPECT_THAT(report.findings[0].what, HasSubstr("no row says who removed them"));
}

TEST_F(Tampering, ByCuttingTheTailNamesWhereItBegan) {
    for (int i = 0; i < tamper_tries(); ++i) {
        copy();
        const std::int64_t first = any_run();
        const std::int64_t sequence = link_of(first);
        const std::string from = " >= " + std::to_string(first);
        const std::string gone =
            "SELECT subject FROM record_link WHERE sequence >= " + std::to_string(sequence) +
            " AND kind = ";
        tool_->exec("DELETE FROM lot_closing WHERE opening IN (" + gone + "'closing')");
        tool_->exec("DELETE FROM set_aside WHERE id IN (" + gone + "'set aside')");
        tool_->exec("DELETE FROM record_link WHERE sequence >= " + std::to_string(sequence));
        for (const char* table :
             {"observation", "check_result", "channel_line", "write_stage", "write_intent_trim",
              "write_intent", "ending", "disposition", "run_end"})
            tool_->exec(std::string("DELETE FROM ") + table + " WHERE run" + from);
        tool_->exec("DELETE FROM run WHERE id" + from);
        const ChainReport report = verify();
        ASSERT_EQ(report.findings.size(), 1U) << findings_text(report);
        EXPECT_EQ(report.findings[0].fault, ChainFault::tail_cut);
        EXPECT_EQ(report.findings[0].sequence, sequence);
    }
}

TEST_F(Tampering, ByComputingTheChainAnewNamesWhereItBegan) {
    for (int i = 0; i < tamper_tries(); ++i) {
        copy();
        const std::int64_t run = any_run();
        const std::int64_t sequence = link_of(run);
        change("run_end", "reason", "run = " + std::to_string(run));
        SealKey forged{};
        for (auto& byte : forged) byte = static_cast<std::uint8_t>(random_());
        recompute(sequence, forged);
        const ChainReport report = verify();
        ASSERT_EQ(report.findings.size(), 1U) << findings_text(report);
        EXPECT_EQ(report.findings[0].fault, ChainFault::recomputed);
        EXPECT_EQ(report.findings[0].sequence, sequence);
        EXPECT_EQ(report.findings[0].run, run);
    }
}

TEST_F(Tampering, StaysToldWhenTheStationGoesOn) {
    copy();
    const std::int64_t cut = link_of(10);
    tool_->exec("DELETE FROM record_link WHERE sequence >= " + std::to_string(cut));
    verify();
    tool_.reset();
    boost::asio::io_context context;
    ASSERT_TRUE(Ledger::open(path_, context.get_executor(), Writing::inline_calls));
    ASSERT_TRUE(Ledger::open(path_, context.get_executor(), Writing::inline_calls));
    const ChainReport report = verify_records(path_).value();
    EXPECT_THAT(report.findings, Contains(Field(&ChainFinding::fault, ChainFault::tail_cut)));
    EXPECT_EQ(report.links, cut) << "told once, when it was first opened";
}

TEST_F(Tampering, WithTheKeyGoneIsToldApart) {
    copy();
    verify();
    tool_.reset();
    std::filesystem::remove(path_ + ".key");
    ChainReport report = verify_records(path_).value();
    EXPECT_FALSE(report.sealed);
    EXPECT_TRUE(report.sound()) << findings_text(report);
    boost::asio::io_context context;
    ASSERT_TRUE(Ledger::open(path_, context.get_executor(), Writing::inline_calls));
    report = verify_records(path_).value();
    ASSERT_EQ(report.findings.size(), 2U) << findings_text(report);
    EXPECT_EQ(report.findings[0].fault, ChainFault::key_replaced);
    EXPECT_EQ(report.findings[1].fault, ChainFault::anchor_missing);
    std::filesystem::resize_file(path_ + ".key", 10);
    const auto refused = Ledger::open(path_, context.get_executor(), Writing::inline_calls);
    ASSERT_FALSE(refused);
    EXPECT_THAT(refused.error().what, HasSubstr("put the key back"));
}

}  // namespace
}  // namespace padtrim::ledger
