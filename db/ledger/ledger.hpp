// The journal on SQLite: one file, one writing process, durable when a call returns.
//
//   caller's coroutine --work--> writer thread: one transaction, fdatasync --result--> caller
//                                (of runs of several nests, what waits shares it)
//
// Write-ahead log, synchronous FULL, foreign keys. Rows are only added (docs/ledger.md). Readers
// (reader.hpp) may look at any time, from any process.
//
// Threading: calls come from coroutines on any executor and resume there; the io_context never
// waits for the disk. With Writing::inline_calls each call is done at once on the caller's thread:
// for virtual time, which cannot see threads. The io_context outlives the ledger.
// Failures: open() answers missing, read_only, locked, newer_schema or broken and leaves the file
// as it was; calls answer full, locked or broken and store nothing. A fault leaves the ledger
// usable.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "db/journal/journal.hpp"
#include "db/record/audit_entry.hpp"
#include "db/record/chart_alarm.hpp"
#include "db/record/release.hpp"
#include "db/record/rolled_up.hpp"
#include "db/record/sampling.hpp"
#include "db/record/shift_check.hpp"
#include "db/record/upkeep.hpp"

namespace padtrim::ledger {

class Database;

enum class Writing { writer_thread, inline_calls };

class Ledger : public journal::Journal {
  public:
    template <class T>
    using Task = journal::Task<T>;
    template <class T>
    using Stored = journal::Stored<T>;

    // `executor` serves callers that bring none of their own.
    [[nodiscard]] static Stored<std::unique_ptr<Ledger>> open(const std::string& path,
                                                              boost::asio::any_io_executor executor,
                                                              Writing how);
    ~Ledger() override;
    Ledger(const Ledger&) = delete;
    Ledger& operator=(const Ledger&) = delete;

    Task<Stored<record::LotId>> open_lot(record::LotStart start) override;
    Task<Stored<record::LotCount>> count(record::LotId lot) override;
    Task<Stored<void>> close_lot(record::LotId lot, record::WallTime at) override;
    Task<Stored<void>> set_aside(record::SetAside unit) override;
    Task<Stored<record::UnitStanding>> standing(record::LotId lot, std::string serial) override;
    Task<Stored<record::RunId>> start_run(record::RunStart start) override;
    Task<Stored<void>> intend(record::RunId run, record::WriteIntent intent) override;
    Task<Stored<void>> reached(record::RunId run, record::WriteStage stage) override;
    Task<Stored<void>> finish(record::RunId run, record::UnitRecord unit) override;
    Task<Stored<std::vector<record::UnfinishedRun>>> unfinished(std::string station) override;
    Task<Stored<void>> settle(record::RunId run, record::Disposition disposition,
                              std::string reason, record::WallTime at) override;

    Task<Stored<void>> count_contacts(record::ContactCounts counts) override;

    // A person's decision about the unit of an ended run; kept with who, when and why, which must
    // be given. The newest is in force; none is edited. Refused: on a run that a later one of the
    // unit followed; to release a unit that may be half-written; to release one that was scrapped,
    // unless it was quarantined in between.
    [[nodiscard]] Task<Stored<void>> decide(record::RunId run, record::Disposition disposition,
                                            std::string who, std::string reason,
                                            record::WallTime at);

    // Lets a plan into production, and takes that back; both with who, when and why. A release that
    // is withdrawn stays in the books. Answers the number that the ledger gives it.
    [[nodiscard]] Task<Stored<std::int64_t>> release(record::Release release);
    [[nodiscard]] Task<Stored<void>> withdraw(std::int64_t release, std::string who,
                                              std::string why, record::WallTime at);
    [[nodiscard]] Task<Stored<std::int64_t>> permit(record::Permit permit);

    // A shift check whose lots are stored already; answers its number. Restarting charts makes them
    // learn anew from later checks; the old ones stay in the books.
    [[nodiscard]] Task<Stored<std::int64_t>> keep_shift_check(record::ShiftCheck check);
    [[nodiscard]] Task<Stored<void>> restart_charts(record::ChartRestart restart);
    // Their coils count from 0 again.
    [[nodiscard]] Task<Stored<void>> replace_contacts(record::ContactReplacement replacement);

    // A downtime begins, or (with its end) is told afterwards; one at a time stands open. Answers
    // its number.
    [[nodiscard]] Task<Stored<std::int64_t>> begin_downtime(record::Downtime downtime);
    [[nodiscard]] Task<Stored<void>> end_downtime(std::string station, std::string who,
                                                  record::WallTime at);
    // Removes raw observations of runs that ended before a time; results stay, a row says which,
    // when, by whom and why. In acts of some hundred runs, so that units go on between them. The
    // file does not shrink: its room is used again. Answers how many runs and bytes.
    [[nodiscard]] Task<Stored<record::Removal>> remove_observations(record::Removal removal);

    // One entry of the audit; nothing edits it, or takes it away.
    [[nodiscard]] Task<Stored<void>> keep_audit(record::AuditEntry entry);

    // Charts with their limits, kept for a recipe's revision, with who and why; newer ones of the
    // same place replace them.
    [[nodiscard]] Task<Stored<void>> freeze_charts(std::vector<record::FrozenChart> charts);
    // What looking at frozen charts found: each alarm once, however often it is found. Answers how
    // many are new.
    [[nodiscard]] Task<Stored<std::size_t>> keep_looks(std::vector<record::ChartLook> looks);
    // A person has dealt with an alarm, or says why nothing is to be done: with name and reason.
    [[nodiscard]] Task<Stored<void>> reply_to_alarm(std::int64_t alarm, record::AlarmReply reply);

    // A sampling plan for a product's step; answers its number. A newer one of the step replaces
    // it.
    [[nodiscard]] Task<Stored<std::int64_t>> keep_sampling_plan(record::SamplingPlan plan);
    // Units chosen of a lot, once a plan and lot; answers its number.
    [[nodiscard]] Task<Stored<std::int64_t>> keep_sampled_lot(std::int64_t plan,
                                                              record::SampledLot lot);
    // What was found among them (nonconforming, tighter, at and who of the lot), once.
    [[nodiscard]] Task<Stored<void>> keep_sampling_result(record::SampledLot lot);
    [[nodiscard]] Task<Stored<void>> resume_sampling(std::int64_t plan,
                                                     record::SamplingResumption resumption);

    // When the station's shifts begin, for runs from now on; kept with who, when and why.
    [[nodiscard]] Task<Stored<void>> set_shift_hours(record::ShiftHoursChange change);
    // Empties the rollups and counts every ended run anew, in the order of ending; rows that were
    // right keep every bit.
    [[nodiscard]] Task<Stored<void>> rebuild_rollups();

  private:
    struct State;
    template <class T>
    using Work = std::function<Stored<T>(Database&)>;

    // Acts of runs may share a commit with those that wait beside them: what is stored together is
    // durable together, before any of them returns. A fault of one leaves the others as if alone.
    enum class Sharing { alone, with_others };
    template <class T, class Handler>
    class CarriedAct;

    explicit Ledger(std::unique_ptr<State> state);
    template <class T>
    Task<Stored<T>> perform(Work<T> work, Sharing sharing = Sharing::alone);

    std::unique_ptr<State> state_;
};

}  // namespace padtrim::ledger
