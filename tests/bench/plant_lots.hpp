// A plant's months of production, straight into the rollups of a ledger through the code that keeps
// them while units end: 12 keys as found and as left, lots of 500 units on a station with four
// nests in three shifts, over 200 days however many they are; gains that drift, a nest whose key 7
// is bad now and then, failed units that are tried again.
//
// With runs it fills also what the questions about single units read: runs, their ends and checks,
// and observations that are the same for all. No chain and no write-back.
#pragma once

#include <random>
#include <string>

#include "db/ledger/database.hpp"
#include "db/ledger/rollup_book.hpp"
#include "db/ledger/rows.hpp"
#include "db/ledger/value_columns.hpp"
#include "tests/bench/plant_runs.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::bench {

class PlantLots {
  public:
    // The ledger is there, and nobody else has it open.
    explicit PlantLots(const std::string& path, const std::string& plan_of_runs = "",
                       std::uint64_t seed = 1)
        : database_(path, SQLite::OPEN_READWRITE), random_(seed), plan_text_(plan_of_runs) {
        if (!plan_text_.empty()) runs_.emplace(database_);
        database_.exec("PRAGMA synchronous = OFF");
        for (int key = 0; key < keys; ++key)
            for (const auto stage : {record::Stage::as_found, record::Stage::as_left})
                checks_.push_back(check(key, stage));
    }
    void run(int units) {
        units_ = units;
        for (int first = 0; first < units; first += units_a_lot) {
            ledger::Transaction transaction(database_, ledger::Transaction::Kind::writing);
            run_lot(first, std::min(units_a_lot, units - first));
            transaction.commit();
        }
    }

    // When a plant of so many units begins one of them.
    static record::WallTime time_of(int unit, int units) {
        return support::at_second(std::int64_t{unit} * days * 86'400 / units);
    }

  private:
    static constexpr int keys = 12, units_a_lot = 500, nests = 4, days = 200;

    static record::CheckResult check(int key, record::Stage stage) {
        record::CheckResult result;
        result.step = "gain and offset";
        result.check = "gain";
        result.key = "K" + std::to_string(key + 1);
        result.channel = key;
        result.frequency = 0;
        result.stage = stage;
        result.unit = "counts/pF";
        result.low = stage == record::Stage::as_found ? 380.0 : 394.0;
        result.high = stage == record::Stage::as_found ? 420.0 : 406.0;
        return result;
    }
    void run_lot(int first, int units) {
        record::LotStart start = support::sample_lot("L-" + std::to_string(first / units_a_lot));
        start.at = time_of(first, units_);
        if (runs_) start.plan_text = plan_text_;
        const record::LotId lot = ledger::rows::open_lot(database_, start).value();
        if (runs_) runs_->opened(start);
        ledger::RollupBook book(database_);
        ledger::RollupWhere where;
        where.origin = {ledger::rows::station_row(database_, start.station),
                        start.product,
                        start.recipe,
                        start.recipe_revision,
                        start.fixture,
                        false,
                        false};
        where.lot = lot;
        for (int unit = first; unit < first + units; ++unit) {
            where.nest = static_cast<std::uint16_t>(1 + unit % nests);
            where.when = record::shift_at({}, time_of(unit, units_));
            at_ = time_of(unit, units_);
            serial_ = "U" + std::to_string(unit);
            run_unit(book, where);
        }
        book.flush();
        if (!runs_) return;
        (void)ledger::rows::close_lot(database_, lot, at_ + std::chrono::seconds(60)).value();
        ledger::write_columns(database_, lot);
    }
    const record::CheckResult* measure(const ledger::RollupWhere& where) {
        const record::CheckResult* failing = nullptr;
        for (std::size_t i = 0; i < checks_.size(); ++i) {
            record::CheckResult& result = checks_[i];
            result.value = 400.0 + (i % 2 == 0 ? as_found(i / 2, where) : 1.2 * normal_(random_));
            const bool inside = result.value >= *result.low && result.value <= *result.high;
            result.verdict = inside ? record::Verdict::pass : record::Verdict::fail;
            if (!inside && failing == nullptr) failing = &result;
        }
        return failing;
    }
    double as_found(std::size_t key, const ledger::RollupWhere& where) {
        const double drift = 3.0 * std::sin(where.when.day / 37.0 + static_cast<double>(key));
        const bool bad = key == 6 && where.nest == 3 && where.when.day % 40 < 3;
        return drift + (bad ? -12.0 : 0.3 * where.nest) + 5.0 * normal_(random_);
    }
    void run_unit(ledger::RollupBook& book, const ledger::RollupWhere& where) {
        using enum ledger::UnitColumn;
        const record::CheckResult* failing = measure(where);
        ledger::UnitDelta delta{};
        in(delta, runs) = in(delta, units) = 1;
        const record::RunId first = keep(where, failing == nullptr, std::nullopt);
        if (failing == nullptr) {
            in(delta, first_pass) = in(delta, final_pass) = in(delta, pass) = 1;
            book.add_try(where, false, checks_);
            book.count_units(where, delta);
            return;
        }
        const record::CheckResult first_failing = *failing;
        in(delta, rejected_first) = 1;
        book.add_try(where, false, checks_);
        if (random_() % 10 < 7) {
            in(delta, runs) = 2;
            in(delta, retested) = in(delta, retried) = 1;
            book.count_after(where, first_failing, &record::FailureCounts::retried, 1);
            failing = measure(where);
            book.add_try(where, true, checks_);
            keep(where, failing == nullptr, first);
        }
        if (failing == nullptr) {
            in(delta, final_pass) = in(delta, recovered) = in(delta, pass) = 1;
            book.count_after(where, first_failing, &record::FailureCounts::recovered, 1);
        } else {
            in(delta, fail) = 1;
        }
        book.count_units(where, delta);
    }

    record::RunId keep(const ledger::RollupWhere& where, bool passed,
                       std::optional<record::RunId> first) {
        return runs_ ? runs_->keep({where.lot, where.nest, serial_, at_, passed, first}, checks_)
                     : 0;
    }

    ledger::Database database_;
    std::optional<PlantRuns> runs_;
    record::WallTime at_;
    std::string serial_;
    std::mt19937_64 random_;
    int units_ = 0;
    std::string plan_text_;
    std::normal_distribution<double> normal_;
    std::vector<record::CheckResult> checks_;
};

}  // namespace padtrim::bench
