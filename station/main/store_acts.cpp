#include "station/main/store_acts.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "db/ledger/backup.hpp"
#include "db/ledger/rollup_reader.hpp"
#include "db/ledger/verify_records.hpp"
#include "fixtures/serial/clocks.hpp"
#include "station/answers/chain_answer.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/json.hpp"
#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/ledger_act.hpp"
#include "station/main/output.hpp"
#include "station/main/tell.hpp"
#include "station/main/upkeep_acts.hpp"

namespace padtrim {
namespace {

int rebuild_rollups(const cli::StoreCommand& command) {
    // Opening to write makes a file; a wrong name must not.
    if (const auto reader = ledger::Reader::open(command.records);
        !reader && reader.error().kind == journal::StoreFaultKind::missing)
        return give_up(reader.error());
    const auto done = done_in_ledger<void>(
        command.records, [](ledger::Ledger& ledger) { return ledger.rebuild_rollups(); });
    if (!done) return give_up(done.error());
    print_line(command.json ? answers::text_of(boost::json::object{{"rebuilt", true}})
                            : "The rollups of " + command.records + " are made anew.");
    return cli::done;
}

int tell_shifts(const cli::StoreCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    const auto hours = ledger::RollupReader(**reader).shift_hours(command.station);
    if (!hours) return give_up(hours.error());
    boost::json::array list;
    std::string words;
    for (const int minutes : hours->begins) {
        const std::string time = answers::time_of_day(minutes);
        list.push_back(answers::text(time));
        words += (words.empty() ? "" : ", ") + time;
    }
    print_line(command.json ? answers::text_of(boost::json::object{{"begins_utc", std::move(list)}})
                            : "Shifts of " + answers::printable(command.station, 64) +
                                  " begin at " + words + " UTC.");
    return cli::done;
}

int set_shifts(const cli::StoreCommand& command) {
    record::ShiftHoursChange change;
    change.hours.begins.clear();
    for (const auto& typed : command.begins) {
        const auto minutes = answers::minutes_of_day(typed);
        if (!minutes)
            return complain({cli::bad_input, "'" + answers::printable(typed, 40) +
                                                 "' is no time of day. Write 06:00 (UTC)."});
        change.hours.begins.push_back(*minutes);
    }
    std::string wrong = answers::wrong_with_name("station", command.station);
    if (wrong.empty()) wrong = answers::wrong_with_signature(command.who, command.why);
    if (!wrong.empty()) return complain({cli::bad_input, wrong});
    change.station = command.station;
    change.who = command.who;
    change.why = answers::printable(command.why, 2000);
    change.at = serial::SystemWallClock().now();
    const auto done = done_in_ledger<void>(
        command.records, [&](ledger::Ledger& ledger) { return ledger.set_shift_hours(change); });
    if (!done) return give_up(done.error());
    return tell_shifts(command);
}

int verify(const cli::StoreCommand& command) {
    const auto report = ledger::verify_records(command.records);
    if (!report) return give_up(report.error());
    tell(answers::to_json(*report), answers::sheet_of(*report), face_of(command.json, false));
    return report->sound() ? cli::done : cli::some_did_not_pass;
}

std::string copy_words(const ledger::CopyReport& copy) {
    return answers::counted(static_cast<std::size_t>(copy.lots), "lot") + ", " +
           answers::counted(static_cast<std::size_t>(copy.runs), "run") + ", " +
           std::to_string(copy.observations) + " with their raw readings";
}

boost::json::object copy_json(const ledger::CopyReport& copy) {
    return {{"bytes", copy.bytes},
            {"lots", copy.lots},
            {"runs", copy.runs},
            {"observations", copy.observations},
            {"chain", answers::to_json(copy.chain)}};
}

int back_up(const cli::StoreCommand& command) {
    const auto copy = ledger::back_up(command.records, command.other);
    if (!copy) return give_up(copy.error());
    print_line(command.json ? answers::text_of(copy_json(*copy))
                            : command.other + " is a verified copy: " + copy_words(*copy) + ".");
    return cli::done;
}

int restore(const cli::StoreCommand& command) {
    const auto report = ledger::restore(command.other, command.records);
    if (!report) return give_up(report.error());
    if (command.json) {
        auto json = copy_json(report->copy);
        json["kept_as"] = answers::text(report->kept_as);
        print_line(answers::text_of(json));
        return cli::done;
    }
    print_line(command.records + " holds the copy now: " + copy_words(report->copy) + "." +
               (report->kept_as.empty() ? "" : " What stood there is " + report->kept_as + "."));
    return cli::done;
}

}  // namespace

int store_act(const cli::StoreCommand& command) {
    switch (command.act) {
        case cli::StoreAct::shifts:
            return command.begins.empty() ? tell_shifts(command) : set_shifts(command);
        case cli::StoreAct::retire:
            return retire(command);
        case cli::StoreAct::downtime:
            return downtime(command);
        case cli::StoreAct::audit:
            return audit(command);
        case cli::StoreAct::backup:
            return back_up(command);
        case cli::StoreAct::restore:
            return restore(command);
        case cli::StoreAct::verify:
            return verify(command);
        default:
            return rebuild_rollups(command);
    }
}

}  // namespace padtrim
