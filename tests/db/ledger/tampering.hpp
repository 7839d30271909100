// A ledger to tamper with behind the station's back, at random from a seed.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>

#include "db/ledger/record_chain.hpp"
#include "db/ledger/seal_key.hpp"
#include "db/ledger/verify_records.hpp"
#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {

// Of each kind: 40; 1000 with PADTRIM_LONG=1 (tests/run --long).
inline int tamper_tries() {
    const char* longer = std::getenv("PADTRIM_LONG");
    return longer != nullptr && std::string(longer) == "1" ? 1000 : 40;
}

inline std::string findings_text(const ChainReport& report) {
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

inline void Tampering::recompute(std::int64_t sequence, const SealKey& key) {
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

}  // namespace padtrim::ledger
