#include "tests/support/memory_journal.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace padtrim::support {

using journal::StoreFault;
using journal::StoreFaultKind;

namespace {

StoreFault out_of_order(std::string what) {
    return {StoreFaultKind::broken, std::move(what)};
}

void count_verdict(record::LotCount& count, record::Verdict verdict) {
    switch (verdict) {
        case record::Verdict::pass:
            ++count.pass;
            break;
        case record::Verdict::fail:
            ++count.fail;
            break;
        case record::Verdict::inconclusive:
            ++count.inconclusive;
            break;
        case record::Verdict::no_verdict:
            ++count.no_verdict;
            break;
    }
}

}  // namespace

record::Verdict MemoryJournal::Run::verdict() const {
    return unit ? unit->result.verdict : record::Verdict::no_verdict;
}

record::WriteStage MemoryJournal::Run::stage() const {
    return stages.empty() ? record::WriteStage::untouched : stages.back();
}

void MemoryJournal::fail_call(std::size_t from_now, StoreFault fault) {
    planned_[calls + from_now] = std::move(fault);
}

std::optional<StoreFault> MemoryJournal::due_fault() {
    ++calls;
    const auto found = planned_.find(calls);
    if (found == planned_.end()) return std::nullopt;
    return found->second;
}

MemoryJournal::Lot* MemoryJournal::lot_of(record::LotId id) {
    const auto found = std::find_if(lots.begin(), lots.end(), [&](auto& l) { return l.id == id; });
    return found == lots.end() ? nullptr : &*found;
}

MemoryJournal::Stored<MemoryJournal::Run*> MemoryJournal::running(record::RunId id) {
    for (Run& run : runs) {
        if (run.id != id) continue;
        if (run.has_ended()) return out_of_order("run " + std::to_string(id) + " has ended");
        return &run;
    }
    return out_of_order("there is no run " + std::to_string(id));
}

MemoryJournal::Task<MemoryJournal::Stored<record::LotId>> MemoryJournal::open_lot(
    record::LotStart start) {
    if (auto fault = due_fault()) co_return *fault;
    for (Lot& lot : lots) {
        const record::LotStart& known = lot.openings.back();
        if (known.lot != start.lot || known.station != start.station ||
            known.measure_only != start.measure_only)
            continue;
        lot.openings.push_back(std::move(start));
        lot.open = true;
        co_return lot.id;
    }
    Lot lot;
    lot.id = static_cast<record::LotId>(lots.size() + 1);
    lot.openings.push_back(std::move(start));
    lots.push_back(lot);
    co_return lot.id;
}

MemoryJournal::Task<MemoryJournal::Stored<record::LotCount>> MemoryJournal::count(
    record::LotId lot) {
    if (auto fault = due_fault()) co_return *fault;
    const Lot* known = lot_of(lot);
    if (known == nullptr) co_return out_of_order("there is no lot " + std::to_string(lot));
    record::LotCount count;
    std::set<std::string> seen;  // newest first, so that a serial's newest verdict counts
    for (auto run = runs.rbegin(); run != runs.rend(); ++run) {
        if (run->start.lot != lot || !run->has_ended()) continue;
        if (!run->start.serial.empty() && !seen.insert(run->start.serial).second) continue;
        count_verdict(count, run->verdict());
    }
    for (const record::SetAside& unit : known->set_aside)
        if (unit.serial.empty() || seen.insert(unit.serial).second) ++count.removed;
    count.loaded = count.pass + count.fail + count.inconclusive + count.no_verdict + count.removed;
    co_return count;
}

MemoryJournal::Task<MemoryJournal::Stored<void>> MemoryJournal::close_lot(record::LotId lot,
                                                                          record::WallTime) {
    if (auto fault = due_fault()) co_return *fault;
    Lot* known = lot_of(lot);
    if (known == nullptr) co_return out_of_order("there is no lot " + std::to_string(lot));
    if (!known->open) co_return out_of_order("lot " + std::to_string(lot) + " is closed already");
    known->open = false;
    co_return Stored<void>();
}

MemoryJournal::Task<MemoryJournal::Stored<void>> MemoryJournal::set_aside(record::SetAside unit) {
    if (auto fault = due_fault()) co_return *fault;
    Lot* known = lot_of(unit.lot);
    if (known == nullptr || !known->open)
        co_return out_of_order("there is no open lot " + std::to_string(unit.lot));
    known->set_aside.push_back(std::move(unit));
    co_return Stored<void>();
}

MemoryJournal::Task<MemoryJournal::Stored<record::UnitStanding>> MemoryJournal::standing(
    record::LotId lot, std::string serial) {
    if (auto fault = due_fault()) co_return *fault;
    record::UnitStanding standing;
    const Run* newest = nullptr;
    for (const Run& run : runs)
        if (!serial.empty() && run.start.serial == serial && run.has_ended()) newest = &run;
    const bool kept_out =
        newest != nullptr && (newest->disposition == record::Disposition::quarantined ||
                              newest->disposition == record::Disposition::scrap);
    for (const Run& run : runs) {
        if (serial.empty() || run.start.serial != serial) continue;
        if (run.start.lot == lot) ++standing.attempts;
        if (!run.has_ended() || (kept_out ? &run != newest : run.start.lot != lot)) continue;
        standing.finished = true;
        standing.verdict = run.verdict();
        standing.disposition = run.disposition;
        standing.reason = run.reason;
    }
    if (!serial.empty()) note_pass_elsewhere(lot, serial, standing);
    if (!serial.empty()) note_not_passed(lot, serial, standing);
    co_return standing;
}

void MemoryJournal::note_pass_elsewhere(record::LotId lot, const std::string& serial,
                                        record::UnitStanding& standing) {
    for (const Run& run : runs) {
        if (run.start.serial != serial || run.start.lot == lot || !run.has_ended()) continue;
        const record::LotStart& other = lot_of(run.start.lot)->openings.back();
        const bool passed = run.verdict() == record::Verdict::pass;
        const bool no_production =
            other.measure_only || other.permission.kind == record::PermissionKind::draft;
        if (other.product != lot_of(lot)->openings.back().product || (passed && no_production))
            continue;
        const bool stands = passed && run.disposition == record::Disposition::released;
        standing.passed_in = stands ? other.lot : "";
        standing.passed_at = stands ? run.ended : record::WallTime();
    }
}

// Nobody decides here.
void MemoryJournal::note_not_passed(record::LotId lot, const std::string& serial,
                                    record::UnitStanding& standing) {
    for (const Run& run : runs) {
        const record::LotStart& of = lot_of(run.start.lot)->openings.back();
        if (run.start.serial != serial || !run.has_ended() || of.measure_only ||
            of.permission.kind == record::PermissionKind::draft ||
            of.product != lot_of(lot)->openings.back().product)
            continue;
        if (run.verdict() == record::Verdict::pass) standing.not_passed = 0;
        if (run.verdict() == record::Verdict::fail ||
            run.verdict() == record::Verdict::inconclusive)
            ++standing.not_passed;
    }
}

MemoryJournal::Task<MemoryJournal::Stored<record::RunId>> MemoryJournal::start_run(
    record::RunStart start) {
    if (auto fault = due_fault()) co_return *fault;
    const Lot* known = lot_of(start.lot);
    if (known == nullptr || !known->open)
        co_return out_of_order("there is no open lot " + std::to_string(start.lot));
    Run run;
    run.id = static_cast<record::RunId>(runs.size() + 1);
    run.start = std::move(start);
    runs.push_back(run);
    co_return run.id;
}

MemoryJournal::Task<MemoryJournal::Stored<void>> MemoryJournal::intend(record::RunId run,
                                                                       record::WriteIntent intent) {
    if (auto fault = due_fault()) co_return *fault;
    const Stored<Run*> known = running(run);
    if (!known) co_return known.error();
    if ((*known)->intent)
        co_return out_of_order("run " + std::to_string(run) + " has an intent already");
    (*known)->intent = std::move(intent);
    (*known)->stages.push_back(record::WriteStage::intended);
    co_return Stored<void>();
}

MemoryJournal::Task<MemoryJournal::Stored<void>> MemoryJournal::reached(record::RunId run,
                                                                        record::WriteStage stage) {
    if (auto fault = due_fault()) co_return *fault;
    const Stored<Run*> known = running(run);
    if (!known) co_return known.error();
    if (!(*known)->intent || stage <= (*known)->stage())
        co_return out_of_order("run " + std::to_string(run) + " cannot reach '" +
                               std::string(record::name_of(stage)) + "' from '" +
                               std::string(record::name_of((*known)->stage())) + "'");
    (*known)->stages.push_back(stage);
    co_return Stored<void>();
}

MemoryJournal::Task<MemoryJournal::Stored<void>> MemoryJournal::finish(record::RunId run,
                                                                       record::UnitRecord unit) {
    if (auto fault = due_fault()) co_return *fault;
    const Stored<Run*> known = running(run);
    if (!known) co_return known.error();
    Run& ended = **known;
    const bool claims_more = unit.write_stage > ended.stage();
    if (unit.write_stage < ended.stage() || (claims_more && !ended.intent))
        co_return out_of_order("run " + std::to_string(run) + " cannot end at '" +
                               std::string(record::name_of(unit.write_stage)) + "' from '" +
                               std::string(record::name_of(ended.stage())) + "'");
    if (claims_more) ended.stages.push_back(unit.write_stage);
    ended.disposition = unit.result.disposition;
    ended.reason = unit.result.reason;
    ended.ended = unit.finished;
    ended.unit = std::move(unit);
    co_return Stored<void>();
}

MemoryJournal::Task<MemoryJournal::Stored<void>> MemoryJournal::count_contacts(
    record::ContactCounts counts) {
    if (auto fault = due_fault()) co_return *fault;
    for (const record::CoilOperations& coil : counts.coils)
        operations[coil.coil] += coil.operations;
    co_return Stored<void>();
}

MemoryJournal::Task<MemoryJournal::Stored<std::vector<record::UnfinishedRun>>>
MemoryJournal::unfinished(std::string station) {
    if (auto fault = due_fault()) co_return *fault;
    std::vector<record::UnfinishedRun> open;
    for (const Run& run : runs) {
        const record::LotStart& lot = lot_of(run.start.lot)->openings.back();
        if (run.has_ended() || lot.station != station) continue;
        record::UnfinishedRun found;
        found.run = run.id;
        found.lot = run.start.lot;
        found.lot_name = lot.lot;
        found.serial = run.start.serial;
        found.nest = run.start.nest;
        found.stage = run.stage();
        found.started = run.start.at;
        open.push_back(found);
    }
    co_return open;
}

MemoryJournal::Task<MemoryJournal::Stored<void>> MemoryJournal::settle(
    record::RunId run, record::Disposition disposition, std::string reason, record::WallTime at) {
    if (auto fault = due_fault()) co_return *fault;
    const Stored<Run*> known = running(run);
    if (!known) co_return known.error();
    (*known)->settled = true;
    (*known)->disposition = disposition;
    (*known)->reason = std::move(reason);
    (*known)->ended = at;
    co_return Stored<void>();
}

}  // namespace padtrim::support
