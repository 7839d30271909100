// The port through which the engine remembers. db/ledger/ implements it on SQLite; tests have one
// in memory.
//
// Every call that returns a value is durable when it returns. A StoreFault leaves the store as it
// was before the call (one transaction each). Calls are made from the engine's io_context and
// never block it. A call once begun goes to its end: cancelling it changes nothing (a coroutine
// that was cancelled before the call gets operation_aborted and nothing is stored).
//
// Calls out of order (a stage without an intent, a second end of a run, an unknown run) answer
// with StoreFaultKind::broken and store nothing.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include <boost/asio/awaitable.hpp>
#include <boost/system/result.hpp>

#include "db/record/contact_count.hpp"
#include "db/record/run.hpp"

namespace padtrim::journal {

enum class StoreFaultKind { missing, read_only, locked, newer_schema, full, broken };

[[nodiscard]] std::string_view name_of(StoreFaultKind kind);

struct StoreFault {
    StoreFaultKind kind = StoreFaultKind::broken;
    std::string what;  // one sentence: what, which file, how to mend it
};

template <class T>
using Stored = boost::system::result<T, StoreFault>;

[[noreturn]] inline void throw_exception_from_error(const StoreFault& fault,
                                                    const boost::source_location&) {
    throw std::logic_error("store fault taken for a value: " + fault.what);
}

template <class T>
using Task = boost::asio::awaitable<T>;

class Journal {
  public:
    virtual ~Journal() = default;
    // Opens the lot, or goes on with the lot of this name, station and purpose (measure only or
    // not); a closed one is opened again. Each opening is kept with its plan, and runs belong to
    // the newest opening.
    [[nodiscard]] virtual Task<Stored<record::LotId>> open_lot(record::LotStart start) = 0;
    [[nodiscard]] virtual Task<Stored<record::LotCount>> count(record::LotId lot) = 0;
    [[nodiscard]] virtual Task<Stored<void>> close_lot(record::LotId lot, record::WallTime at) = 0;

    // A unit leaves the lot without a run; it counts as removed.
    [[nodiscard]] virtual Task<Stored<void>> set_aside(record::SetAside unit) = 0;

    [[nodiscard]] virtual Task<Stored<record::UnitStanding>> standing(record::LotId lot,
                                                                      std::string serial) = 0;
    [[nodiscard]] virtual Task<Stored<record::RunId>> start_run(record::RunStart start) = 0;
    // Durable before the first byte reaches the unit.
    [[nodiscard]] virtual Task<Stored<void>> intend(record::RunId run,
                                                    record::WriteIntent intent) = 0;
    // Stages only go forward; `intended` is recorded by intend().
    [[nodiscard]] virtual Task<Stored<void>> reached(record::RunId run,
                                                     record::WriteStage stage) = 0;
    // Observations, result, checks, lines and the run's end in one transaction.
    [[nodiscard]] virtual Task<Stored<void>> finish(record::RunId run, record::UnitRecord unit) = 0;

    // Adds to how often the contacts of a fixture worked.
    [[nodiscard]] virtual Task<Stored<void>> count_contacts(record::ContactCounts counts) = 0;

    // Runs that a stop of this station cut off, oldest first, and their settlement: verdict
    // "no verdict", with a disposition and a reason.
    [[nodiscard]] virtual Task<Stored<std::vector<record::UnfinishedRun>>> unfinished(
        std::string station) = 0;
    [[nodiscard]] virtual Task<Stored<void>> settle(record::RunId run,
                                                    record::Disposition disposition,
                                                    std::string reason, record::WallTime at) = 0;
};

}  // namespace padtrim::journal
