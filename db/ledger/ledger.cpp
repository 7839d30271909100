#include "db/ledger/ledger.hpp"

#include <optional>
#include <utility>

#include <boost/asio/associated_executor.hpp>
#include <boost/asio/async_result.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/prefer.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "db/ledger/connection.hpp"
#include "db/ledger/database.hpp"
#include "db/ledger/file_lock.hpp"
#include "db/ledger/record_chain.hpp"
#include "db/ledger/rollup_rows.hpp"
#include "db/ledger/rows.hpp"
#include "db/ledger/seal_key.hpp"
#include "db/ledger/store_faults.hpp"
#include "db/ledger/stored_words.hpp"
#include "db/ledger/value_columns.hpp"
#include "db/ledger/writer_thread.hpp"

namespace padtrim::ledger {

namespace asio = boost::asio;

namespace {

// Nests have at most a few calls each under way; that many waiting means a stuck disk.
constexpr std::size_t waiting_calls = 256;
// Acts that share a commit; the first of them waits for the others' work.
constexpr std::size_t calls_together = 16;

}  // namespace

// Members end in reverse order: the thread first, then the chain, the connection, the lock.
struct Ledger::State {
    std::string path;
    asio::any_io_executor executor;
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
          caller_(asio::prefer(asio::get_associated_executor(handler, state.executor),
                               asio::execution::outstanding_work.tracked)),
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
        asio::post(caller_,
                   [handler = handler_, bug = bug_, result = std::move(*result_)]() mutable {
                       (*handler)(bug, std::move(result));
                   });
    }
    // Where the thread does not take it.
    [[nodiscard]] std::function<void(journal::StoreFault)> refusal() const {
        return [caller = caller_, handler = handler_](journal::StoreFault fault) {
            asio::post(caller, [handler, fault = std::move(fault)]() mutable {
                (*handler)(nullptr, Stored<T>(std::move(fault)));
            });
        };
    }

  private:
    State& state_;
    Work<T> work_;
    asio::any_io_executor caller_;
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
    auto token = asio::use_awaitable;
    co_return co_await asio::async_initiate<decltype(token), void(std::exception_ptr, Stored<T>)>(
        std::move(initiation), token);
}

namespace {

struct Keepers {
    std::unique_ptr<rows::RollupKeeper> rollups;
    std::unique_ptr<RecordChain> chain;
};

Ledger::Stored<Keepers> open_keepers(Database& database, const std::string& path) {
    const Ledger::Stored<KeptKey> key = keep_seal_key(path);
    if (!key) return key.error();
    try {
        return Keepers{std::make_unique<rows::RollupKeeper>(database),
                       std::make_unique<RecordChain>(database, path, key->key, key->made)};
    } catch (const SQLite::Exception& error) {
        return fault_of(error, path);
    }
}

}  // namespace

Ledger::Ledger(std::unique_ptr<State> state) : state_(std::move(state)) {}
Ledger::~Ledger() = default;

Ledger::Stored<std::unique_ptr<Ledger>> Ledger::open(const std::string& path,
                                                     asio::any_io_executor executor, Writing how) {
    const Stored<void> plausible = may_be_ledger(path);
    if (!plausible) return plausible.error();
    Stored<FileLock> lock = FileLock::take(path);
    if (!lock) return lock.error();
    Stored<Connection> database = open_for_writing(path);
    if (!database) {
        lock->withdraw();
        return database.error();
    }
    Stored<Keepers> parts = open_keepers(**database, path);
    if (!parts) {
        lock->withdraw();
        return parts.error();
    }
    auto state = std::make_unique<State>(State{path, std::move(executor), std::move(*lock),
                                               std::move(*database), std::move(parts->rollups),
                                               std::move(parts->chain), nullptr});
    if (how == Writing::writer_thread)
        state->thread = std::make_unique<WriterThread>(
            waiting_calls, calls_together,
            [&state = *state](const WriterThread::Acts& acts) { state.store(acts); });
    return std::unique_ptr<Ledger>(new Ledger(std::move(state)));
}

Ledger::Task<Ledger::Stored<record::LotId>> Ledger::open_lot(record::LotStart start) {
    return perform<record::LotId>([this, start = std::move(start)](Database& database) {
        state_->chain->look_for_acts();
        const Stored<record::LotId> lot = rows::open_lot(database, start);
        if (lot) drop_columns(database, *lot);
        return lot;
    });
}

Ledger::Task<Ledger::Stored<record::LotCount>> Ledger::count(record::LotId lot) {
    return perform<record::LotCount>(
        [lot](Database& database) { return rows::count(database, lot); }, Sharing::with_others);
}

Ledger::Task<Ledger::Stored<void>> Ledger::close_lot(record::LotId lot, record::WallTime at) {
    return perform<void>([this, lot, at](Database& database) {
        state_->rollups->closes(lot);
        state_->chain->sync_after_commit();
        state_->chain->look_for_acts();
        return rows::close_lot(database, lot, at);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::set_aside(record::SetAside unit) {
    return perform<void>([this, unit = std::move(unit)](Database& database) {
        state_->chain->look_for_acts();
        return rows::set_aside(database, unit);
    });
}

Ledger::Task<Ledger::Stored<record::UnitStanding>> Ledger::standing(record::LotId lot,
                                                                    std::string serial) {
    return perform<record::UnitStanding>(
        [lot, serial = std::move(serial)](Database& database) {
            return rows::standing(database, lot, serial);
        },
        Sharing::with_others);
}

Ledger::Task<Ledger::Stored<record::RunId>> Ledger::start_run(record::RunStart start) {
    return perform<record::RunId>(
        [start = std::move(start)](Database& database) { return rows::start_run(database, start); },
        Sharing::with_others);
}

Ledger::Task<Ledger::Stored<void>> Ledger::intend(record::RunId run, record::WriteIntent intent) {
    return perform<void>([run, intent = std::move(intent)](
                             Database& database) { return rows::intend(database, run, intent); },
                         Sharing::with_others);
}

Ledger::Task<Ledger::Stored<void>> Ledger::reached(record::RunId run, record::WriteStage stage) {
    return perform<void>(
        [run, stage](Database& database) { return rows::reached(database, run, stage); },
        Sharing::with_others);
}

Ledger::Task<Ledger::Stored<void>> Ledger::finish(record::RunId run, record::UnitRecord unit) {
    return perform<void>([run, unit = std::move(unit)](
                             Database& database) { return rows::finish(database, run, unit); },
                         Sharing::with_others);
}

Ledger::Task<Ledger::Stored<std::vector<record::UnfinishedRun>>> Ledger::unfinished(
    std::string station) {
    return perform<std::vector<record::UnfinishedRun>>(
        [station = std::move(station)](Database& database) {
            return rows::unfinished(database, station);
        });
}

Ledger::Task<Ledger::Stored<void>> Ledger::settle(record::RunId run,
                                                  record::Disposition disposition,
                                                  std::string reason, record::WallTime at) {
    return perform<void>([run, disposition, reason = std::move(reason), at](Database& database) {
        return rows::settle(database, run, disposition, reason, at);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::decide(record::RunId run,
                                                  record::Disposition disposition, std::string who,
                                                  std::string reason, record::WallTime at) {
    return perform<void>([run, disposition, who = std::move(who), reason = std::move(reason),
                          at](Database& database) {
        return rows::decide(database, run, disposition, who, reason, at);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::release(record::Release release) {
    return perform<std::int64_t>([release = std::move(release)](Database& database) {
        return rows::release(database, release);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::withdraw(std::int64_t release, std::string who,
                                                    std::string why, record::WallTime at) {
    return perform<void>(
        [release, who = std::move(who), why = std::move(why), at](Database& database) {
            return rows::withdraw(database, release, who, why, at);
        });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::permit(record::Permit permit) {
    return perform<std::int64_t>([permit = std::move(permit)](Database& database) {
        return rows::permit(database, permit);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::keep_shift_check(record::ShiftCheck check) {
    return perform<std::int64_t>([check = std::move(check)](Database& database) {
        return rows::keep_shift_check(database, check);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::count_contacts(record::ContactCounts counts) {
    return perform<void>([counts = std::move(counts)](
                             Database& database) { return rows::count_contacts(database, counts); },
                         Sharing::with_others);
}

Ledger::Task<Ledger::Stored<void>> Ledger::replace_contacts(
    record::ContactReplacement replacement) {
    return perform<void>([replacement = std::move(replacement)](Database& database) {
        return rows::replace_contacts(database, replacement);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::restart_charts(record::ChartRestart restart) {
    return perform<void>([restart = std::move(restart)](Database& database) {
        return rows::restart_charts(database, restart);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::begin_downtime(record::Downtime downtime) {
    return perform<std::int64_t>([downtime = std::move(downtime)](Database& database) {
        return rows::begin_downtime(database, downtime);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::end_downtime(std::string station, std::string who,
                                                        record::WallTime at) {
    return perform<void>(
        [station = std::move(station), who = std::move(who), at](Database& database) {
            return rows::end_downtime(database, station, who, at);
        });
}

Ledger::Task<Ledger::Stored<record::Removal>> Ledger::remove_observations(record::Removal removal) {
    for (;;) {
        const auto act = [removal](Database& database) {
            return rows::remove_observations(database, removal);
        };
        const Stored<record::Removal> removed = co_await perform<record::Removal>(act);
        if (!removed) co_return removed.error();
        if (removed->id == 0) co_return removal;
        removal.runs += removed->runs;
        removal.bytes += removed->bytes;
    }
}

Ledger::Task<Ledger::Stored<void>> Ledger::keep_audit(record::AuditEntry entry) {
    return perform<void>([entry = std::move(entry)](Database& database) {
        return rows::keep_audit(database, entry);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::freeze_charts(std::vector<record::FrozenChart> charts) {
    return perform<void>([this, charts = std::move(charts)](Database& database) {
        state_->chain->look_for_acts();
        return rows::freeze_charts(database, charts);
    });
}

Ledger::Task<Ledger::Stored<std::size_t>> Ledger::keep_looks(std::vector<record::ChartLook> looks) {
    return perform<std::size_t>([this, looks = std::move(looks)](Database& database) {
        state_->chain->look_for_acts();
        return rows::keep_looks(database, looks);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::reply_to_alarm(std::int64_t alarm,
                                                          record::AlarmReply reply) {
    return perform<void>([this, alarm, reply = std::move(reply)](Database& database) {
        state_->chain->look_for_acts();
        return rows::reply_to_alarm(database, alarm, reply);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::keep_sampling_plan(record::SamplingPlan plan) {
    return perform<std::int64_t>([plan = std::move(plan)](Database& database) {
        return rows::keep_sampling_plan(database, plan);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::keep_sampled_lot(std::int64_t plan,
                                                                    record::SampledLot lot) {
    return perform<std::int64_t>([plan, lot = std::move(lot)](Database& database) {
        return rows::keep_sampled_lot(database, plan, lot);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::keep_sampling_result(record::SampledLot lot) {
    return perform<void>([lot = std::move(lot)](Database& database) {
        return rows::keep_sampling_result(database, lot);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::resume_sampling(std::int64_t plan,
                                                           record::SamplingResumption resumption) {
    return perform<void>([plan, resumption = std::move(resumption)](Database& database) {
        return rows::resume_sampling(database, plan, resumption);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::set_shift_hours(record::ShiftHoursChange change) {
    return perform<void>([change = std::move(change)](Database& database) {
        return rows::set_shift_hours(database, change);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::rebuild_rollups() {
    return perform<void>([this](Database& database) -> Stored<void> {
        state_->rollups->forget();
        rows::rebuild_rollups(database);
        return {};
    });
}

}  // namespace padtrim::ledger
