// What stands behind the ledger's interface: its connection and thread, and how an act gets there
// and back. Internal to the room.
//
// Threading: State is used by the writer thread alone, or by the caller where there is none; a
// carried act goes to that thread and its answer back to the caller's executor.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <utility>

#include <boost/asio/associated_executor.hpp>
#include <boost/asio/async_result.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/prefer.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "db/ledger/connection.hpp"
#include "db/ledger/database.hpp"
#include "db/ledger/file_lock.hpp"
#include "db/ledger/ledger.hpp"
#include "db/ledger/record_chain.hpp"
#include "db/ledger/rollup_rows.hpp"
#include "db/ledger/store_faults.hpp"
#include "db/ledger/stored_words.hpp"
#include "db/ledger/writer_thread.hpp"

namespace padtrim::ledger {

// Nests have at most a few calls each under way; that many waiting means a stuck disk.
inline constexpr std::size_t waiting_calls = 256;
// Acts that share a commit; the first of them waits for the others' work.
inline constexpr std::size_t calls_together = 16;

// Members end in reverse order: the thread first, then the chain, the connection, the lock.
struct Ledger::State {
    std::string path;
    boost::asio::any_io_executor executor;
    FileLock lock;
    Connection database;
    std::unique_ptr<rows::RollupKeeper> rollups;
    std::unique_ptr<RecordChain> chain;
    std::unique_ptr<WriterThread> thread;  // null: inline calls

    // What was counted of an act that is not kept must not be kept with the next one.
    void drop() {
        rollups->dropped();
        chain->dropped();
    }

    void keep(Transaction& transaction) {
        rollups->extend();
        chain->extend();
        transaction.commit();
        rollups->committed();
        chain->committed();
    }

    template <class T>
    Stored<T> act(const Work<T>& work) {
        Transaction transaction(*database, Transaction::Kind::writing);
        Stored<T> result = work(*database);
        if (!result) {
            drop();
            return result;
        }
        keep(transaction);
        return result;
    }

    template <class T>
    Stored<T> transact(const Work<T>& work) {
        try {
            return act(work);
        } catch (const SQLite::Exception& error) {
            drop();
            return fault_of(error, path);
        } catch (const UnknownWord& error) {
            drop();
            return out_of_order("the records '" + path + "': " + error.what());
        } catch (...) {
            drop();
            throw;
        }
    }

    // False: none of them is kept.
    bool act_together(const WriterThread::Acts& acts) {
        try {
            Transaction transaction(*database, Transaction::Kind::writing);
            for (const auto& each : acts)
                if (!each->act(*database)) {
                    drop();
                    return false;
                }
            keep(transaction);
            return true;
        } catch (...) {  // whose it was shows when each is done alone
            drop();
            return false;
        }
    }

    void store(const WriterThread::Acts& acts) {
        const bool together = acts.size() > 1 && act_together(acts);
        for (const auto& each : acts) {
            if (!together) each->act_alone();
            each->answer();
        }
    }

    [[nodiscard]] journal::StoreFault overrun() const {
        return {journal::StoreFaultKind::broken,
                std::to_string(waiting_calls) + " acts wait to be stored in '" + path +
                    "': its disk does not keep up; check the disk, then start again"};
    }
};

// One call on its way to the writer thread; its result travels back to the caller's executor, which
// is kept busy meanwhile, so that its io_context does not run out of work. A bug's exception
// travels back too.
template <class T, class Handler>
class Ledger::CarriedAct : public WaitingAct {
  public:
    CarriedAct(State& state, Work<T> work, Sharing sharing, Handler handler)
        : WaitingAct(sharing == Sharing::with_others),
          state_(state),
          work_(std::move(work)),
          caller_(boost::asio::prefer(boost::asio::get_associated_executor(handler, state.executor),
                                      boost::asio::execution::outstanding_work.tracked)),
          handler_(std::make_shared<Handler>(std::move(handler))) {}

    bool act(Database& database) override {
        result_ = work_(database);
        return result_->has_value();
    }
    void act_alone() override {
        try {
            result_ = state_.transact<T>(work_);
        } catch (...) {
            bug_ = std::current_exception();
            result_ = journal::StoreFault{};
        }
    }
    void answer() override {
        boost::asio::post(caller_,
                          [handler = handler_, bug = bug_, result = std::move(*result_)]() mutable {
                              (*handler)(bug, std::move(result));
                          });
    }
    // Where the thread does not take it.
    [[nodiscard]] std::function<void(journal::StoreFault)> refusal() const {
        return [caller = caller_, handler = handler_](journal::StoreFault fault) {
            boost::asio::post(caller, [handler, fault = std::move(fault)]() mutable {
                (*handler)(nullptr, Stored<T>(std::move(fault)));
            });
        };
    }

  private:
    State& state_;
    Work<T> work_;
    boost::asio::any_io_executor caller_;
    std::shared_ptr<Handler> handler_;
    std::exception_ptr bug_;
    std::optional<Stored<T>> result_;
};

template <class T>
Ledger::Task<Ledger::Stored<T>> Ledger::perform(Work<T> work, Sharing sharing) {
    if (state_->thread == nullptr) co_return state_->transact<T>(work);
    auto initiation = [this, &work, sharing](auto handler) {
        using Carried = CarriedAct<T, decltype(handler)>;
        auto act = std::make_unique<Carried>(*state_, work, sharing, std::move(handler));
        auto refuse = act->refusal();
        if (!state_->thread->post(std::move(act))) refuse(state_->overrun());
    };
    auto token = boost::asio::use_awaitable;
    co_return co_await boost::asio::async_initiate<decltype(token),
                                                   void(std::exception_ptr, Stored<T>)>(
        std::move(initiation), token);
}

}  // namespace padtrim::ledger
