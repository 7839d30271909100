// The daemon's shift check: a run of its own, and the decision that its units make, kept in the
// records.
#include <boost/asio/co_spawn.hpp>

#include "station/main/daemon.hpp"
#include "station/main/daemon_running.hpp"
#include "station/main/lot_faces.hpp"

namespace padtrim {

namespace asio = boost::asio;
using web::Decision;
using web::Outcome;

Decision Daemon::start_shift_check(std::string person) {
    if (auto no = may_begin(); no.outcome != Outcome::accepted) return no;
    if (!plan_->fixture.shift_check) {
        return {Outcome::refused, "The fixture profile names no check standards.",
                "Add a [shift_check] to it: docs/fixture-reference.md."};
    }
    at_rest_.give_way();
    auto ports = FixturePorts::open(context_, plan_, wish_.ports, log_);
    if (const auto* trouble = std::get_if<GivesUp>(&ports)) {
        return {Outcome::refused, trouble->sentence, "Nothing was started."};
    }
    engine::LotOptions options;
    options.lot = "shift check " + answers::iso_8601(wall_clock_.now()).substr(0, 19) + "Z";
    options.station = wish_.station;
    options.operator_name = person;
    shown_plan_ = plan_;
    status_ = status_before(*plan_, wish_.station);
    status_.measure_only = true;
    status_.lot = options.lot;
    prepare(std::move(std::get<0>(ports)));
    engine::Parts parts = running_->ports->parts(ledger_);
    parts.person = running_->person.get();
    running_->check = std::make_unique<engine::ShiftRun>(std::move(parts), plan_,
                                                         std::move(options), sink(), ask());
    log_.info("shift check started over HTTP by " + person);
    asio::co_spawn(context_, carry_out_check(std::move(person)), at_end());
    tell_changed();
    return {Outcome::accepted,
            "The shift check begins: lay in the check standards and the challenge unit.", ""};
}

// What decides nothing is not kept; the event log and the status say why.
asio::awaitable<engine::LotOutcome> Daemon::carry_out_check(std::string person) {
    co_await at_rest_.settled();
    const engine::ShiftOutcome outcome = co_await running_->check->run();
    engine::LotOutcome ended;
    ended.station_fault = outcome.station_fault;
    ended.reason = outcome.reason;
    if (!outcome.reason.empty()) {
        status_.ended = "The shift check decides nothing. " + outcome.reason;
        co_return ended;
    }
    const auto reader = ledger::Reader::open(wish_.records);
    if (!reader) {
        ended.station_fault = true;
        ended.reason = reader.error().what;
        co_return ended;
    }
    const auto history = (*reader)->chart_history(wish_.station, plan_->fixture.fixture);
    if (!history) {
        ended.station_fault = true;
        ended.reason = history.error().what;
        co_return ended;
    }
    auto check = answers::shift_check_of(*plan_, outcome, *history);
    check.at = wall_clock_.now();
    check.station = wish_.station;
    check.who = std::move(person);
    std::string decided =
        "The shift check says " + std::string(record::name_of(check.decision)) + ". " + check.cause;
    const auto kept = co_await ledger_.keep_shift_check(std::move(check));
    if (!kept) {
        ended.station_fault = true;
        ended.reason = kept.error().what;
        decided = "The shift check decides nothing, since it could not be kept. " + ended.reason;
    }
    status_.ended = std::move(decided);
    log_.info(status_.ended);
    co_return ended;
}

}  // namespace padtrim
