// A plant's worth of lots at random, from a seed: stations, days, nests, revisions and drafts,
// units that are tried again, cut-off runs that are settled, and units set aside.
#pragma once

#include <random>
#include <string>

#include "db/ledger/ledger.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {

class RandomLots {
  public:
    RandomLots(boost::asio::io_context& context, Ledger& ledger, std::uint64_t seed)
        : context_(context), ledger_(ledger), random_(seed) {}

    // So many lots of so many acts.
    void fill(int lots, int acts) {
        for (int lot = 0; lot < lots; ++lot) {
            if (one_in(4)) change_shifts();
            const record::LotId id = open(lot);
            for (int act = 0; act < acts; ++act) one_act(id);
            if (one_in(2)) await(ledger_.close_lot(id, now_));
        }
    }

  private:
    template <class T>
    T await(journal::Task<journal::Stored<T>> task) {
        return support::await(context_, std::move(task)).value();
    }
    void await(journal::Task<journal::Stored<void>> task) {
        support::await(context_, std::move(task)).value();
    }
    bool one_in(unsigned n) { return random_() % n == 0; }
    std::string pick(std::initializer_list<const char*> words) {
        return words.begin()[random_() % words.size()];
    }

    void change_shifts() {
        const int begin = static_cast<int>(random_() % 700);
        await(ledger_.set_shift_hours(
            {pick({"S1", "S2"}), "planner", "new shifts", now_, {{begin, begin + 300}}}));
    }
    record::LotId open(int number) {
        record::LotStart start =
            support::sample_lot("L" + std::to_string(number % 5), pick({"S1", "S2"}));
        start.recipe_revision = pick({"3", "4"});
        start.plan_hash = "hash" + start.recipe_revision;
        start.plan_text = "revision " + start.recipe_revision;
        start.measure_only = one_in(6);
        if (one_in(6)) start.permission.kind = record::PermissionKind::draft;
        start.at = now_;
        return await(ledger_.open_lot(start));
    }
    void one_act(record::LotId lot) {
        now_ += std::chrono::minutes(random_() % 200);
        if (one_in(9)) now_ += std::chrono::hours(24 * 9);
        const std::string serial =
            one_in(8) ? "" : support::odd_serials()[random_() % 6] + std::to_string(random_() % 9);
        const auto nest = static_cast<std::uint16_t>(1 + random_() % 3);
        if (one_in(6)) {
            await(ledger_.set_aside({lot, nest, serial, "", "another product", now_}));
            return;
        }
        record::RunStart start = support::sample_run(lot, serial, nest);
        start.at = now_;
        const record::RunId run = await(ledger_.start_run(start));
        // Some runs end after the one begun next.
        if (waiting_ == 0 && one_in(5)) {
            waiting_ = run;
            return;
        }
        end(run);
        if (waiting_ != 0) end(std::exchange(waiting_, 0));
    }
    void end(record::RunId run) {
        now_ += std::chrono::minutes(1);
        if (one_in(9)) {
            await(ledger_.settle(run, record::Disposition::quarantined, "stopped", now_));
            return;
        }
        await(ledger_.finish(run, unit()));
    }
    record::CheckResult check(const std::string& key, int channel, record::Stage stage) {
        record::CheckResult result;
        result.step = "gain and offset";
        result.check = stage == record::Stage::as_found ? pick({"gain", "offset"}) : "gain";
        result.key = key;
        result.channel = channel;
        result.stage = stage;
        result.value = std::normal_distribution<double>(400.0, 9.0)(random_);
        if (one_in(20)) result.value = std::numeric_limits<double>::quiet_NaN();
        if (one_in(20)) result.value = 0.0;
        result.unit = "counts/pF";
        result.low = one_in(30) ? 300.0 : 380.0;
        if (!one_in(9)) result.high = 420.0;
        result.verdict = static_cast<record::Verdict>(random_() % 12 < 9 ? 0 : random_() % 4);
        return result;
    }
    record::UnitRecord unit() {
        record::UnitRecord unit = support::sample_unit(static_cast<record::Verdict>(random_() % 4),
                                                       record::Disposition::undecided);
        unit.finished = now_;
        unit.write_stage = record::WriteStage::untouched;
        unit.result.checks.clear();
        for (int channel = 0; channel < 4; ++channel)
            for (const auto stage : {record::Stage::as_found, record::Stage::as_left})
                unit.result.checks.push_back(check(channel < 2 ? "K1" : "K2", channel, stage));
        return unit;
    }

    boost::asio::io_context& context_;
    Ledger& ledger_;
    std::mt19937_64 random_;
    record::WallTime now_ = support::at_second(0);
    record::RunId waiting_ = 0;
};

}  // namespace padtrim::ledger
