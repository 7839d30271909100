// Records that were tampered with: every one is found and named.
#include "db/ledger/verify_records.hpp"

#include "tests/db/ledger/tampering.hpp"

namespace padtrim::ledger {
namespace {

using testing::Contains;
using testing::Field;
using testing::HasSubstr;

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
