// Opening, and the acts of runs and lots: those of the journal.
#include "db/ledger/ledger.hpp"

#include "db/ledger/ledger_state.hpp"
#include "db/ledger/rows.hpp"
#include "db/ledger/seal_key.hpp"
#include "db/ledger/value_columns.hpp"

namespace padtrim::ledger {

namespace asio = boost::asio;

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

Ledger::Task<Ledger::Stored<void>> Ledger::count_contacts(record::ContactCounts counts) {
    return perform<void>([counts = std::move(counts)](
                             Database& database) { return rows::count_contacts(database, counts); },
                         Sharing::with_others);
}

}  // namespace padtrim::ledger
