// A journal that can stop dead: from then on no call comes back and none reaches the journal behind
// it, as when the process was killed.
#pragma once

#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "db/journal/journal.hpp"

namespace padtrim::support {

class StoppingJournal final : public journal::Journal {
  public:
    template <class T>
    using Stored = journal::Task<journal::Stored<T>>;
    explicit StoppingJournal(journal::Journal& behind) : behind_(behind) {}
    bool stopped = false;

    Stored<record::LotId> open_lot(record::LotStart start) override {
        return stopped ? never<record::LotId>() : behind_.open_lot(std::move(start));
    }
    Stored<record::LotCount> count(record::LotId lot) override {
        return stopped ? never<record::LotCount>() : behind_.count(lot);
    }
    Stored<void> close_lot(record::LotId lot, record::WallTime at) override {
        return stopped ? never<void>() : behind_.close_lot(lot, at);
    }
    Stored<void> set_aside(record::SetAside unit) override {
        return stopped ? never<void>() : behind_.set_aside(std::move(unit));
    }
    Stored<record::UnitStanding> standing(record::LotId lot, std::string serial) override {
        return stopped ? never<record::UnitStanding>() : behind_.standing(lot, std::move(serial));
    }
    Stored<record::RunId> start_run(record::RunStart start) override {
        return stopped ? never<record::RunId>() : behind_.start_run(std::move(start));
    }
    Stored<void> intend(record::RunId run, record::WriteIntent intent) override {
        return stopped ? never<void>() : behind_.intend(run, std::move(intent));
    }
    Stored<void> reached(record::RunId run, record::WriteStage stage) override {
        return stopped ? never<void>() : behind_.reached(run, stage);
    }
    Stored<void> finish(record::RunId run, record::UnitRecord unit) override {
        return stopped ? never<void>() : behind_.finish(run, std::move(unit));
    }
    Stored<void> count_contacts(record::ContactCounts counts) override {
        return stopped ? never<void>() : behind_.count_contacts(std::move(counts));
    }
    Stored<std::vector<record::UnfinishedRun>> unfinished(std::string station) override {
        return stopped ? never<std::vector<record::UnfinishedRun>>()
                       : behind_.unfinished(std::move(station));
    }
    Stored<void> settle(record::RunId run, record::Disposition disposition, std::string reason,
                        record::WallTime at) override {
        return stopped ? never<void>() : behind_.settle(run, disposition, std::move(reason), at);
    }

  private:
    template <class T>
    static Stored<T> never() {
        const auto executor = co_await boost::asio::this_coro::executor;
        boost::asio::steady_timer timer(executor, boost::asio::steady_timer::time_point::max());
        co_await timer.async_wait(boost::asio::use_awaitable);
        co_return journal::StoreFault{};
    }
    journal::Journal& behind_;
};

}  // namespace padtrim::support
