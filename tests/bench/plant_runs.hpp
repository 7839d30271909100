// Runs of a plant's units as rows of a ledger, without the ledger's own acts: a million of them in
// minutes instead of an hour.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/ledger/observation_blob.hpp"
#include "db/ledger/statement.hpp"
#include "db/record/unit_result.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::bench {

struct PlantRun {
    record::LotId lot = 0;
    std::uint16_t nest = 1;
    std::string serial;
    record::WallTime at;
    bool passed = true;
    std::optional<record::RunId> first;  // the unit's first run, if this is another
};

class PlantRuns {
  public:
    explicit PlantRuns(ledger::Database& database)
        : database_(database),
          run_(database,
               "INSERT INTO run (opening, lot, nest, serial, label, attempt, first_run, started)"
               " VALUES (?, ?, ?, ?, '', ?, ?, ?)"),
          end_(database,
               "INSERT INTO run_end (run, how, at, verdict, stage, reason, next_step,"
               " formula_version) VALUES (?, 'finished', ?, ?, 'untouched', '', '', '1')"),
          disposition_(database,
                       "INSERT INTO disposition (run, at, disposition, who, reason)"
                       " VALUES (?, ?, ?, 'station', '')"),
          observation_(database, "INSERT INTO observation (run, packed) VALUES (?, ?)"),
          ending_(database, "INSERT INTO ending (run) VALUES (?)"),
          check_(database,
                 "INSERT INTO check_result (run, number, step, name, key, channel, frequency,"
                 " stage, value, unit, standard_uncertainty, coverage_factor,"
                 " expanded_uncertainty, low, high, margin, verdict, traceability, note,"
                 " degrees_of_freedom) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?,"
                 " ?, ?, ?)"),
          packed_(ledger::pack(support::sample_unit().observations).value()) {}

    void opened(const record::LotStart&) {
        opening_ = database_.execAndGet("SELECT max(id) FROM lot_opening").getInt64();
    }
    record::RunId keep(const PlantRun& run, const std::vector<record::CheckResult>& checks) {
        run_.with(opening_, run.lot, run.nest, run.serial, run.first ? 2 : 1, run.first, run.at)
            .run();
        const record::RunId id = database_.getLastInsertRowid();
        const record::WallTime ended = run.at + std::chrono::seconds(15);
        end_.with(id, ended, std::string(run.passed ? "pass" : "fail")).run();
        disposition_.with(id, ended, std::string(run.passed ? "released" : "rework")).run();
        observation_.with(id, packed_).run();
        ending_.with(id).run();
        std::size_t number = 0;
        for (const record::CheckResult& check : checks)
            check_
                .with(id, number++, check.step, check.check, check.key, check.channel,
                      check.frequency, record::name_of(check.stage), check.value, check.unit, 0.2,
                      2.0, 0.4, check.low, check.high, 1.0, record::name_of(check.verdict),
                      record::name_of(check.traceability), std::string(), 50.0)
                .run();
        return id;
    }

  private:
    ledger::Database& database_;
    ledger::Query run_, end_, disposition_, observation_, ending_, check_;
    ledger::Bytes packed_;
    std::int64_t opening_ = 0;
};

}  // namespace padtrim::bench
