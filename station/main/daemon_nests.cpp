// What people decide while the daemon works: at its nests, where it counts at once, and about what
// is in the records, as work for another thread.
#include <algorithm>

#include "station/main/alarms.hpp"
#include "station/main/chart_acts.hpp"
#include "station/main/daemon.hpp"
#include "station/main/daemon_running.hpp"
#include "station/main/disposal.hpp"
#include "station/main/sampling_act.hpp"

namespace padtrim {

using web::Decision;
using web::Outcome;

Decision Daemon::abort_nest(std::uint16_t nest) {
    const auto at = std::find_if(status_.nests.begin(), status_.nests.end(),
                                 [&](const auto& known) { return known.number == nest; });
    if (at == status_.nests.end()) {
        return {Outcome::unknown, "The fixture has no nest " + std::to_string(nest) + ".",
                "GET /api/status lists them."};
    }
    if (!running_ || at->mark != answers::Mark::running) {
        return {Outcome::refused, "No unit runs in nest " + std::to_string(nest) + ".",
                "There is nothing to abort."};
    }
    running_->abort(nest);
    return {Outcome::accepted, "The unit gets no verdict; if it was written to, it is quarantined.",
            ""};
}

Decision Daemon::load_nest(std::uint16_t nest, std::string label) {
    for (const auto& other : status_.nests)
        if (!label.empty() && other.mark == answers::Mark::running && other.serial == label)
            return {Outcome::refused,
                    "Unit " + label + " runs in nest " + std::to_string(other.number) + ".",
                    "Scan the label of the unit in nest " + std::to_string(nest) + "."};
    if (running_ && running_->hands->load(nest, label)) {
        return {Outcome::accepted, "The unit runs.", ""};
    }
    return {Outcome::refused, "Nest " + std::to_string(nest) + " does not wait for a unit.",
            "GET /api/status says what each nest does."};
}

Decision Daemon::put_aside(std::uint16_t nest, std::string person) {
    const auto serial = lying_.confirm(status_, nest);
    if (!serial) {
        return {Outcome::refused,
                "Nest " + std::to_string(nest) + " has no rejected unit to put away.",
                "GET /api/status says what each nest does."};
    }
    log_.info("unit " + *serial + " of nest " + std::to_string(nest) + " put aside, says " +
              (person.empty() ? "nobody named" : person));
    tell_changed();
    return {Outcome::accepted, "Unit " + *serial + " lies apart.", ""};
}

Decision Daemon::answer_nest(std::uint16_t nest, bool yes) {
    if (running_ && running_->person->answer(nest, yes)) {
        return {Outcome::accepted, "The step goes on.", ""};
    }
    return {Outcome::refused, "Nest " + std::to_string(nest) + " asks nothing.",
            "GET /api/status says what each nest asks."};
}

std::function<Decision()> Daemon::disposal(web::DisposeRequest request) {
    return disposal_of(ledger_, wish_.records, std::move(request), wall_clock_.now());
}

std::function<Decision()> Daemon::alarm_reply(web::AlarmReplyRequest request) {
    return alarm_reply_of(ledger_, wish_.records, std::move(request), wall_clock_.now());
}

std::function<Decision()> Daemon::freezing(web::FreezeRequest request) {
    return chart_freezing_of(ledger_, wish_.records, std::move(request), wall_clock_.now());
}

std::function<Decision()> Daemon::sampling_result(web::SamplingResultRequest request) {
    return sampling_result_of(ledger_, wish_.records, std::move(request), wall_clock_.now());
}

}  // namespace padtrim
