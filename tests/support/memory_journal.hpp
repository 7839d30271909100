// A Journal in memory, with the ledger's own rules (both pass tests/support/journal_contract.hpp).
//
// Everything stored can be looked at; fail_call makes the n-th call from now (1 is the next) answer
// with a fault and store nothing. One thread; nothing suspends.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "db/journal/journal.hpp"

namespace padtrim::support {

class MemoryJournal : public journal::Journal {
  public:
    template <class T>
    using Task = journal::Task<T>;
    template <class T>
    using Stored = journal::Stored<T>;

    struct Lot {
        record::LotId id = 0;
        std::vector<record::LotStart> openings;  // the newest is in force
        bool open = true;
        std::vector<record::SetAside> set_aside;
    };
    struct Run {
        record::RunId id = 0;
        record::RunStart start;
        std::optional<record::WriteIntent> intent;
        std::vector<record::WriteStage> stages;  // in the order reached
        std::optional<record::UnitRecord> unit;  // finished
        bool settled = false;
        record::Disposition disposition = record::Disposition::undecided;
        std::string reason;
        record::WallTime ended;
        [[nodiscard]] bool has_ended() const { return settled || unit.has_value(); }
        [[nodiscard]] record::Verdict verdict() const;
        [[nodiscard]] record::WriteStage stage() const;
    };
    std::vector<Lot> lots;
    std::vector<Run> runs;
    std::map<std::uint16_t, std::uint64_t> operations;  // of each coil, of all fixtures
    std::size_t calls = 0;

    void fail_call(std::size_t from_now, journal::StoreFault fault);

    Task<Stored<record::LotId>> open_lot(record::LotStart start) override;
    Task<Stored<record::LotCount>> count(record::LotId lot) override;
    Task<Stored<void>> close_lot(record::LotId lot, record::WallTime at) override;
    Task<Stored<void>> set_aside(record::SetAside unit) override;
    Task<Stored<record::UnitStanding>> standing(record::LotId lot, std::string serial) override;
    Task<Stored<record::RunId>> start_run(record::RunStart start) override;
    Task<Stored<void>> intend(record::RunId run, record::WriteIntent intent) override;
    Task<Stored<void>> reached(record::RunId run, record::WriteStage stage) override;
    Task<Stored<void>> finish(record::RunId run, record::UnitRecord unit) override;
    Task<Stored<void>> count_contacts(record::ContactCounts counts) override;
    Task<Stored<std::vector<record::UnfinishedRun>>> unfinished(std::string station) override;
    Task<Stored<void>> settle(record::RunId run, record::Disposition disposition,
                              std::string reason, record::WallTime at) override;

  private:
    [[nodiscard]] std::optional<journal::StoreFault> due_fault();
    [[nodiscard]] Lot* lot_of(record::LotId id);
    void note_pass_elsewhere(record::LotId lot, const std::string& serial,
                             record::UnitStanding& standing);
    void note_not_passed(record::LotId lot, const std::string& serial,
                         record::UnitStanding& standing);
    [[nodiscard]] Stored<Run*> running(record::RunId id);

    std::map<std::size_t, journal::StoreFault> planned_;
};

}  // namespace padtrim::support
