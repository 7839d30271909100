// The acts of one nest: what is done in each state, and which event it amounts to.
#include <algorithm>

#include "station/engine/nest_run.hpp"
#include "station/engine/run_step.hpp"
#include "station/engine/verdict.hpp"
#include "station/metrology/judge.hpp"

namespace padtrim::engine {

namespace {
// So many units in a row without an answer are not the units' fault. Common practice, no source.
constexpr unsigned faults_in_a_row_limit = 3;

record::FaultNote suspicious(const language::Nest& nest, const record::FaultNote& last) {
    record::FaultNote note = last;
    note.blame = record::Blame::fixture;
    note.what =
        "Nest " + std::to_string(nest.number) +
        " is closed: " + std::to_string(faults_in_a_row_limit) +
        " units in a row had a fault. Look at its supply, pins and cable. The last: " + last.what;
    return note;
}

port::Fault another_now(const language::Nest& nest, const std::string& serial) {
    return {port::FaultKind::wrong_device, port::Blame::unit,
            "unit in nest " + std::to_string(nest.number),
            "Nest " + std::to_string(nest.number) + " now holds '" + serial +
                "' and not the unit that was measured. Nothing was written to either."};
}
}  // namespace

port::Task<RunEvent> NestRun::wait_for_unit() {
    if (lot_.loading_stopped()) co_return RunEvent::lot_ends;
    if (faults_in_a_row_ >= faults_in_a_row_limit) {
        lot_.close_nest(suspicious(nest_, last_fault_), nest_.number);
        co_return RunEvent::lot_ends;
    }
    if (same_.count >= lot_.plan->fixture.stop_rule.same_failures)
        co_return co_await call_for_help();
    left_over_ = claimed_ = outsider_ = false;
    auto loaded = co_await load();
    if (!loaded) co_return event_of(loaded.error());
    if (!loaded->present) co_return RunEvent::no_unit;
    label_ = std::move(loaded->label);
    co_return RunEvent::done;
}

Act<Loading> NestRun::load() {
    if (std::exchange(first_, false) && has_handler(nest_)) {
        auto lies = co_await lies_in(*lot_.parts.relays, *nest_.present_input);
        if (!lies) co_return lies.error();
        left_over_ = *lies;
        if (left_over_) co_return Loading{true, ""};
    }
    claimed_ = lot_.claim();
    if (!claimed_) co_return Loading{};
    if (!has_handler(nest_)) {
        auto by_hand = co_await ask_person();
        co_return by_hand;
    }
    auto loaded = co_await load_by_handler(lot_.parts, nest_);
    if (!loaded || !loaded->present) give_back_claim();
    co_return loaded;
}

Act<Loading> NestRun::ask_person() {
    Loading loading;
    std::string wish = "Load the next unit into nest " + std::to_string(nest_.number) + ".";
    while (lot_.ask) {
        asking_ = true;
        lot_.tell(NestWaiting{nest_.number, wish});
        std::optional<std::string> label = co_await lot_.ask(nest_.number);
        asking_ = false;
        loading.present = label.has_value();
        if (!label) break;
        if (loading.label.empty()) loading.label = std::move(*label);
        // Closing a guard begins nothing: whoever finds it open says once more that it may go on.
        auto open = co_await open_guard();
        if (!open) co_return open.error();
        if (!*open) break;
        wish = "Guard or emergency stop is open. Close it, hands out, then press Enter once more.";
    }
    if (!loading.present) give_back_claim();
    if (!loading.present) co_return loading;
    auto ready = co_await stand_.home_if_lost();
    if (!ready) co_return ready.error();
    co_return loading;
}

Act<bool> NestRun::open_guard() {
    if (lot_.parts.interlock == nullptr) co_return false;
    auto now = co_await lot_.parts.interlock->look();
    if (now) co_return false;
    if (now.error().kind != port::FaultKind::interlock_open) co_return now.error();
    co_return true;
}

void NestRun::give_back_claim() {
    if (std::exchange(claimed_, false)) lot_.give_back_claim();
}

port::Task<RunEvent> NestRun::power() {
    say("", 0, 1);
    auto on = co_await stand_.power_on();
    co_return event_of(on);
}

port::Task<RunEvent> NestRun::identify() {
    auto who = co_await stand_.unit().identify();
    if (!who) co_return event_of(who.error());
    stand_.seen.identity =
        record::IdentityRead{who->product_code, who->firmware, who->serial, label_};
    serial_ = who->serial;
    if (who->product_code != lot_.plan->map.product_code_value) {
        set_aside_ = another_product(lot_.plan->map, who->product_code);
        co_return RunEvent::set_aside;
    }
    set_aside_ = label_differs(nest_.number, label_, serial_);
    if (!set_aside_.empty()) {
        give_back_claim();  // whoever was scanned may still come
        co_return RunEvent::set_aside;
    }
    auto standing = co_await lot_.records.keep(lot_.parts.journal->standing(lot_.id, serial_));
    if (!standing) co_return event_of(standing.error());
    set_aside_ = why_not_run(*standing);
    if (!set_aside_.empty()) co_return RunEvent::set_aside;
    auto started = co_await start_run();
    if (started) lot_.tell(UnitIdentified{nest_.number, serial_});
    co_return event_of(started);
}

// A left-over unit that the lot does not know yet needs a place in it.
NotRun NestRun::why_not_run(const record::UnitStanding& standing) {
    NotRun strange = out_of_place(lot_.plan->fixture, lot_.options.shift_check, serial_);
    if (!strange.empty()) {
        outsider_ = true;
        // A shift check does not go through a whole magazine in search of its standards.
        if (!lot_.options.shift_check) give_back_claim();
        return strange;
    }
    NotRun again = why_not_again(standing, left_over_, lot_.second_runs());
    // What passed in another lot and lies here still is no unit of this one.
    if (left_over_ && !standing.finished && !again.empty()) {
        outsider_ = true;
        return again;
    }
    const bool counted = standing.finished && standing.attempts > 0;
    if (counted)
        give_back_claim();
    else if (!claimed_)
        claimed_ = lot_.claim();
    outsider_ = !counted && !claimed_;
    return outsider_ ? lot_is_full(lot_.options.units) : again;
}

Act<void> NestRun::start_run() {
    record::RunStart start;
    start.lot = lot_.id;
    start.nest = nest_.number;
    start.serial = serial_;
    start.label = label_;
    start.at = lot_.parts.wall_clock->now();
    auto started = co_await lot_.records.keep(lot_.parts.journal->start_run(std::move(start)));
    if (!started) co_return started.error();
    run_ = *started;
    write_back_.begin(*run_);
    co_return port::Outcome<void>();
}

NestRun::StepEnd NestRun::end_step() {
    const language::Step& ended = *step();
    stand_.seen.steps_done.push_back(ended.name);
    const auto [verdict, checks] = metrology::judge_step(
        *lot_.working, lot_.working->fixture.equipment, stand_.seen, ended.name);
    if (verdict != record::Verdict::pass && attempt_ <= ended.retries) {
        stand_.seen.steps_done.pop_back();
        stand_.seen.attempts.push_back({ended.name, attempt_++, stand_.now_us()});
        lot_.log(LogLevel::info, serial_ + ": " + ended.name + " did not pass; attempt " +
                                     std::to_string(attempt_) + " of " +
                                     std::to_string(ended.retries + 1));
        margins_.step_again();
        return StepEnd::again;
    }
    margins_.step_ended(checks);
    show_margins();
    ends_.push_back(verdict);
    ++at_step_;
    attempt_ = 1;
    const bool stops = ended.on_failure == language::OnFailure::stop;
    return verdict == record::Verdict::fail && stops ? StepEnd::stop : StepEnd::next;
}

RunEvent NestRun::event_of_end() {
    return end_step() == StepEnd::stop ? RunEvent::stopped : RunEvent::more;
}

void NestRun::pass_over() {
    while (step() != nullptr && !metrology::applies(lot_.working->recipe, ends_)) {
        lot_.log(LogLevel::info, serial_ + ": " + step()->name + " does not apply");
        ends_.push_back(std::nullopt);
        ++at_step_;
    }
}

bool NestRun::all_passed(std::size_t from) const {
    return std::all_of(ends_.begin() + static_cast<std::ptrdiff_t>(from), ends_.end(),
                       [](auto& end) { return !end || *end == record::Verdict::pass; });
}

// A unit that fell silent because the fixture took its supply is not to blame. A guard that was
// opened while nothing moved ends the step as well: hands were in the fixture.
Act<void> NestRun::step_through() {
    auto ran = co_await run_step(stand_, write_back_, *step());
    auto allowed = co_await stand_.permitted();
    if (!allowed) co_return allowed.error();
    if (ran) {
        auto stands = co_await stand_.still_stands();
        co_return stands;
    }
    if (ran.error().blame == port::Blame::unit) {
        auto relays = co_await stand_.relays_stand();
        if (!relays && relays.error().blame == port::Blame::fixture) co_return relays.error();
    }
    co_return ran;
}

port::Task<RunEvent> NestRun::measure() {
    pass_over();
    if (step() == nullptr) co_return RunEvent::steps_over;
    if (step_writes()) co_return all_passed(0) ? RunEvent::write_due : RunEvent::stopped;
    say("", 0, 1);
    auto ran = co_await step_through();
    if (!ran) co_return event_of(ran);
    co_return event_of_end();
}

port::Task<RunEvent> NestRun::intend() {
    say("", 0, 1);
    auto who = co_await stand_.unit().identify();
    if (!who) co_return event_of(who.error());
    if (who->serial != serial_) {
        port::Fault other = another_now(nest_, who->serial);
        co_return event_of(std::move(other));
    }
    auto found = co_await write_back_.read_as_found();
    if (!found) co_return event_of(found);
    auto proposal =
        metrology::propose_trims(*lot_.working, lot_.working->fixture.equipment, stand_.seen);
    if (!proposal) {
        lot_.log(LogLevel::info, serial_ + ": nothing is written. " + proposal.error().what);
        co_return RunEvent::stopped;
    }
    port::TrimRegisters trims{std::move(proposal->gain), std::move(proposal->offset)};
    auto intended = co_await write_back_.intend(std::move(trims));
    co_return event_of(intended);
}

port::Task<RunEvent> NestRun::write() {
    if (state_ == RunState::writing) {
        auto written = co_await write_back_.write();
        co_return event_of(written);
    }
    if (state_ == RunState::reading_back) {
        auto held = co_await write_back_.read_back();
        if (!held) co_return event_of(held.error());
        if (*held) co_return RunEvent::done;
        static_cast<void>(end_step());  // the unit failed it: it does not hold what was written
        co_return RunEvent::stopped;
    }
    auto committed = co_await write_back_.commit();
    if (!committed) co_return event_of(committed);
    written_at_ = at_step_;
    co_return end_step() == StepEnd::stop ? RunEvent::stopped : RunEvent::done;
}

port::Task<RunEvent> NestRun::prove() {
    pass_over();
    if (step() == nullptr) {
        const auto& steps = lot_.working->recipe.steps;
        const bool verifies = std::any_of(
            steps.begin() + static_cast<std::ptrdiff_t>(written_at_), steps.end(),
            [](auto& s) { return std::holds_alternative<language::VerifyStep>(s.body); });
        if (!verifies || !all_passed(written_at_)) co_return RunEvent::steps_over;
        auto proven = co_await write_back_.proven();
        co_return event_of(proven, RunEvent::verified);
    }
    if (step_writes()) co_return RunEvent::stopped;  // one write-back a run
    const bool verifies = std::holds_alternative<language::VerifyStep>(step()->body);
    say("", 0, 1);
    if (verifies) write_back_.pass("before verifying");
    auto ran = co_await step_through();
    if (!ran) co_return event_of(ran);
    if (verifies) write_back_.pass("after verifying");
    co_return event_of_end();
}

port::Task<RunEvent> NestRun::leave() {
    auto safe = co_await stand_.make_safe();
    // Said of the fixture, not of the unit: what was measured before it stands.
    if (!safe) lot_.end_by(note_of(safe.error(), "safe state"), nest_.number);
    if (state_ == RunState::abandoning) co_return RunEvent::done;
    if (state_ == RunState::leaving_unrecorded) {
        auto told = co_await remember_set_aside();
        co_return event_of(told);
    }
    auto remembered = co_await remember();
    co_return event_of(remembered);
}

Act<void> NestRun::remember_set_aside() {
    if (set_aside_.empty()) {  // the lot ended before the unit was known
        give_back_claim();
        co_return port::Outcome<void>();
    }
    if (outsider_) {  // not of this lot, so not in its books
        lot_.tell(UnitSetAside{nest_.number, serial_, set_aside_.reason, set_aside_.act, false,
                               lot_.count});
        co_return port::Outcome<void>();
    }
    record::SetAside unit;
    unit.lot = lot_.id;
    unit.nest = nest_.number;
    unit.serial = serial_;
    unit.label = label_;
    unit.reason = set_aside_.text();
    unit.at = lot_.parts.wall_clock->now();
    const std::uint32_t known = lot_.count.loaded;
    auto kept = co_await lot_.records.keep(lot_.parts.journal->set_aside(std::move(unit)));
    if (!kept) co_return kept.error();
    auto counted = co_await lot_.recount();
    // Laid in once more it is the same unit of the lot.
    if (counted && lot_.count.loaded == known) give_back_claim();
    lot_.tell(
        UnitSetAside{nest_.number, serial_, set_aside_.reason, set_aside_.act, true, lot_.count});
    co_return counted;
}

// A unit that left before its run was on record: faulted or aborted while it was identified.
Act<void> NestRun::late_start() {
    auto standing = co_await lot_.records.keep(lot_.parts.journal->standing(lot_.id, serial_));
    if (!standing) co_return standing.error();
    set_aside_ = why_not_run(*standing);
    if (!set_aside_.empty()) co_return port::Outcome<void>();
    auto started = co_await start_run();
    co_return started;
}

Act<void> NestRun::remember() {
    if (!run_) {
        auto started = co_await late_start();
        if (!started) co_return started.error();
    }
    if (!run_) {
        auto told = co_await remember_set_aside();
        co_return told;
    }
    faults_in_a_row_ = stand_.seen.faults.empty() ? 0 : faults_in_a_row_ + 1;
    if (faults_in_a_row_ > 0) last_fault_ = stand_.seen.faults.back();
    record::UnitRecord unit;
    unit.result = verdict_of(*lot_.plan, lot_.options.measure_only, stand_.seen);
    if (!lot_.options.shift_check) same_.add(unit.result);
    unit.observations = std::move(stand_.seen);
    unit.write_stage = write_back_.stage();
    unit.finished = lot_.parts.wall_clock->now();
    UnitFinished finished{nest_.number, serial_, unit.result, {}};
    const bool wrote = unit.write_stage != record::WriteStage::untouched;
    if (wrote) write_back_.pass("before storing the result");
    auto stored = co_await lot_.records.keep(lot_.parts.journal->finish(*run_, std::move(unit)));
    if (!stored) co_return stored.error();
    if (wrote) write_back_.pass("after storing the result");
    auto counted = co_await lot_.recount();
    if (!counted) co_return counted.error();
    finished.count = lot_.count;
    lot_.tell(finished);
    auto kept = co_await lot_.keep_counts_sometimes();
    co_return kept;
}

}  // namespace padtrim::engine
