// A ledger with one lot of a few units, for tests of the answers and their texts.
#pragma once

#include <memory>

#include <boost/asio/io_context.hpp>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::test_support {

class StoredLot {
  public:
    StoredLot()
        : ledger_(std::move(
              ledger::Ledger::open(file(), context_.get_executor(), ledger::Writing::inline_calls)
                  .value())) {
        lot_ = support::await(context_, ledger_->open_lot(support::sample_lot())).value();
    }
    [[nodiscard]] std::string file() const { return folder_.file("lots.sqlite"); }
    [[nodiscard]] ledger::Reader& reader() {
        if (!reader_) reader_ = std::move(ledger::Reader::open(file()).value());
        return *reader_;
    }

    void unit(const std::string& serial, record::Verdict verdict,
              record::Disposition disposition = record::Disposition::released,
              const std::string& next_step = "Set aside.") {
        const auto run =
            support::await(context_, ledger_->start_run(support::sample_run(lot_, serial)));
        auto unit = support::sample_unit(verdict, disposition);
        unit.result.next_step = next_step;
        const bool stored =
            support::await(context_, ledger_->finish(run.value(), unit)).has_value();
        if (!stored) throw std::runtime_error("not stored");
    }
    void running(const std::string& serial) {
        (void)support::await(context_, ledger_->start_run(support::sample_run(lot_, serial)));
    }
    void aside(const std::string& serial, const std::string& reason) {
        record::SetAside note;
        note.lot = lot_;
        note.serial = serial;
        note.reason = reason;
        note.at = support::at_second(70);
        (void)support::await(context_, ledger_->set_aside(note));
    }

  private:
    support::TemporaryFolder folder_;
    boost::asio::io_context context_;
    std::unique_ptr<ledger::Ledger> ledger_;
    std::unique_ptr<ledger::Reader> reader_;
    record::LotId lot_ = 0;
};

}  // namespace padtrim::test_support
