// A ledger of units with the values that a test wants: the quality team's questions go over it.
#pragma once

#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include <boost/asio/io_context.hpp>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::test_support {

struct StoredValue {
    std::string check = "gain";
    double value = 0.0;
    record::Stage stage = record::Stage::as_found;
    std::string key = "K1";
    std::optional<double> low = {}, high = {};
    record::Verdict verdict = record::Verdict::pass;
};

struct StoredUnit {
    std::string serial;
    std::vector<StoredValue> values;
    std::uint16_t nest = 1;
    record::Verdict verdict = record::Verdict::pass;
    std::int64_t second = 10;  // of its beginning
};

class QualityLedger {
  public:
    QualityLedger()
        : ledger_(std::move(
              ledger::Ledger::open(file(), context_.get_executor(), ledger::Writing::inline_calls)
                  .value())) {}
    [[nodiscard]] std::string file() const { return folder_.file("lots.sqlite"); }
    [[nodiscard]] std::string beside(const std::string& name) const { return folder_.file(name); }
    [[nodiscard]] ledger::Reader& reader() {
        if (!reader_) reader_ = std::move(ledger::Reader::open(file()).value());
        return *reader_;
    }
    [[nodiscard]] ledger::Ledger& ledger() { return *ledger_; }

    // Units go into the lot that was opened last.
    void lot(const std::string& name, bool measure_only = false, const std::string& plan_text = "",
             const std::string& station = "S1") {
        auto start = support::sample_lot(name, station);
        start.measure_only = measure_only;
        if (!plan_text.empty()) {
            start.plan_text = plan_text;
            start.plan_hash = "of " + name;
        }
        lot_ = support::await(context_, ledger_->open_lot(start)).value();
    }
    record::RunId unit(const StoredUnit& unit) {
        auto start = support::sample_run(lot_, unit.serial, unit.nest);
        start.at = support::at_second(unit.second);
        const auto run = support::await(context_, ledger_->start_run(start)).value();
        record::UnitRecord kept = support::sample_unit(unit.verdict);
        kept.observations.nest = unit.nest;
        kept.finished = support::at_second(unit.second + 1);
        kept.result.checks.clear();
        for (const auto& value : unit.values) kept.result.checks.push_back(check_of(value));
        if (!support::await(context_, ledger_->finish(run, kept)).has_value())
            throw std::runtime_error("not stored");
        return run;
    }
    void shift_check(const record::ShiftCheck& check) {
        if (!support::await(context_, ledger_->keep_shift_check(check)).has_value())
            throw std::runtime_error("not stored");
    }

  private:
    static record::CheckResult check_of(const StoredValue& value) {
        record::CheckResult check;
        check.step = "gain and offset";
        check.check = value.check;
        check.key = value.key;
        check.channel = 0;
        check.frequency = 0;
        check.stage = value.stage;
        check.value = value.value;
        check.unit = "counts/pF";
        check.standard_uncertainty = 0.1;
        check.degrees_of_freedom = 100.0;
        check.expanded_uncertainty = 0.2;
        check.low = value.low;
        check.high = value.high;
        check.verdict = value.verdict;
        return check;
    }

    support::TemporaryFolder folder_;
    boost::asio::io_context context_;
    std::unique_ptr<ledger::Ledger> ledger_;
    std::unique_ptr<ledger::Reader> reader_;
    record::LotId lot_ = 0;
};

}  // namespace padtrim::test_support
