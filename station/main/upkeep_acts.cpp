#include "station/main/upkeep_acts.hpp"

#include <chrono>

#include "db/ledger/reader.hpp"
#include "fixtures/serial/clocks.hpp"
#include "station/answers/audit_answer.hpp"
#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/answers/upkeep_answer.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/ledger_act.hpp"
#include "station/main/output.hpp"
#include "station/main/tell.hpp"

namespace padtrim {
namespace {

std::string wrong_with_person(const cli::StoreCommand& command) {
    return answers::wrong_with_name("person (--who)", command.who);
}

int tell_removals(const cli::StoreCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    const auto removals = (*reader)->removals();
    if (!removals) return give_up(removals.error());
    tell(answers::to_json(*removals), answers::sheet_of(*removals), face_of(command.json, false));
    return cli::done;
}

// Moments as typed, or the sentence that says which is none.
struct TypedPeriod {
    std::optional<record::WallTime> since, until;
    std::string problem;
};
TypedPeriod period_of(const cli::StoreCommand& command) {
    TypedPeriod period;
    if (!command.since.empty()) period.since = answers::moment_of(command.since);
    if (!command.until.empty()) period.until = answers::end_of(command.until);
    const bool wrong_since = !command.since.empty() && !period.since;
    if (wrong_since || (!command.until.empty() && !period.until))
        period.problem = "'" + answers::printable(wrong_since ? command.since : command.until, 60) +
                         "' is no time. Write 2026-03-31, or 2026-03-31T08:15 (UTC).";
    return period;
}

int tell_downtime(const cli::StoreCommand& command, const TypedPeriod& period) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    auto told = (*reader)->downtimes(command.station, period.since, period.until);
    if (!told) return give_up(told.error());
    const auto answer = answers::downtime_answer(std::move(*told), period.since, period.until,
                                                 serial::SystemWallClock().now());
    tell(answers::to_json(answer), answers::sheet_of(answer), face_of(command.json, false));
    return cli::done;
}

int begin_downtime(const cli::StoreCommand& command, const TypedPeriod& period) {
    if (answers::blank(command.reason))
        return complain({cli::bad_input, "The reason is empty. Give one with --reason."});
    record::Downtime down;
    down.station = command.station;
    down.began = period.since.value_or(serial::SystemWallClock().now());
    down.ended = period.until;
    if (down.ended) down.ended_by = command.who;
    down.planned = command.planned;
    down.reason = answers::printable(command.reason, 200);
    down.who = command.who;
    down.note = answers::printable(command.why, 2000);
    const auto begun = done_in_ledger<std::int64_t>(
        command.records, [&](ledger::Ledger& ledger) { return ledger.begin_downtime(down); });
    if (!begun) return give_up(begun.error());
    return tell_downtime(command, {down.began, {}, ""});
}

int end_downtime(const cli::StoreCommand& command, const TypedPeriod& period) {
    const auto at = period.until.value_or(serial::SystemWallClock().now());
    const auto ended = done_in_ledger<void>(command.records, [&](ledger::Ledger& ledger) {
        return ledger.end_downtime(command.station, command.who, at);
    });
    if (!ended) return give_up(ended.error());
    print_line("Station " + answers::printable(command.station, 64) + " goes on.");
    return cli::done;
}

}  // namespace

int retire(const cli::StoreCommand& command) {
    if (!command.days) return tell_removals(command);
    if (const auto wrong = answers::wrong_with_signature(command.who, command.why); !wrong.empty())
        return complain({cli::bad_input, wrong});
    if (const auto reader = ledger::Reader::open(command.records); !reader)
        return give_up(reader.error());
    record::Removal removal;
    removal.at = serial::SystemWallClock().now();
    removal.ended_before = removal.at - std::chrono::days(*command.days);
    removal.who = command.who;
    removal.why = answers::printable(command.why, 2000);
    const auto removed = done_in_ledger<record::Removal>(
        command.records,
        [&](ledger::Ledger& ledger) { return ledger.remove_observations(removal); });
    if (!removed) return give_up(removed.error());
    if (command.json)
        print_line(answers::text_of(answers::to_json(std::vector<record::Removal>{*removed})));
    else
        print_line("Raw readings of " + std::to_string(removed->runs) +
                   " runs removed; their results stay.");
    return cli::done;
}

int audit(const cli::StoreCommand& command) {
    const TypedPeriod period = period_of(command);
    if (!period.problem.empty()) return complain({cli::bad_input, period.problem});
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    record::AuditFilter filter;
    filter.since = period.since;
    filter.until = period.until;
    if (!command.who.empty()) filter.who = command.who;
    const auto entries = (*reader)->audit(filter);
    if (!entries) return give_up(entries.error());
    tell(answers::to_json(*entries), answers::sheet_of(*entries), face_of(command.json, false));
    return cli::done;
}

int downtime(const cli::StoreCommand& command) {
    const TypedPeriod period = period_of(command);
    if (!period.problem.empty()) return complain({cli::bad_input, period.problem});
    if (!command.begin && !command.end) return tell_downtime(command, period);
    std::string wrong = answers::wrong_with_name("station", command.station);
    if (wrong.empty()) wrong = wrong_with_person(command);
    if (!wrong.empty()) return complain({cli::bad_input, wrong});
    if (const auto reader = ledger::Reader::open(command.records); !reader)
        return give_up(reader.error());
    return command.begin ? begin_downtime(command, period) : end_downtime(command, period);
}

}  // namespace padtrim
