// Lots of the daemon: which plan one runs, by what right, on which ports, and what is looked after
// when it has ended.
#include <boost/asio/co_spawn.hpp>

#include "recipes/language/load.hpp"
#include "recipes/language/one_step.hpp"
#include "station/answers/lot_report.hpp"
#include "station/main/alarms.hpp"
#include "station/main/daemon.hpp"
#include "station/main/daemon_running.hpp"
#include "station/main/lot_faces.hpp"

namespace padtrim {

namespace asio = boost::asio;
using web::Decision;
using web::Outcome;

Opened<language::PlanPtr> Daemon::plan_for(const web::StartRequest& request) const {
    if (request.plan_text.empty()) return plan_;
    auto loaded = language::read_plan(request.plan_text);
    if (!loaded.plan) {
        return GivesUp{cli::bad_input,
                       "The plan cannot be read: " + document::text_of(loaded.diagnostics.front())};
    }
    if (loaded.plan->fixture != plan_->fixture) {
        return GivesUp{cli::bad_input,
                       "The plan is for another fixture, or for another profile "
                       "of fixture " +
                           plan_->fixture.fixture + "."};
    }
    return std::move(loaded.plan);
}

// The wanted step alone, where one is.
Opened<language::PlanPtr> Daemon::cut_for(const web::StartRequest& request) const {
    auto plan = plan_for(request);
    if (request.step.empty() || std::holds_alternative<GivesUp>(plan)) return plan;
    auto one = language::one_step_of(*std::get<language::PlanPtr>(plan), request.step);
    if (!one.plan) return GivesUp{cli::bad_input, one.problem};
    return std::move(one.plan);
}

Decision Daemon::start_lot(web::StartRequest request) {
    if (auto no = may_begin(); no.outcome != Outcome::accepted) return no;
    if (request.nest && plan_->fixture.nest(*request.nest) == nullptr)
        return {Outcome::bad, "The fixture has no nest " + std::to_string(*request.nest) + ".",
                "GET /api/status lists them."};
    auto plan = cut_for(request);
    if (const auto* trouble = std::get_if<GivesUp>(&plan))
        return {Outcome::bad, trouble->sentence,
                request.step.empty() ? "Use the fixture profile of the daemon."
                                     : "Nothing was started."};
    at_rest_.give_way();
    auto ports = FixturePorts::open(context_, std::get<0>(plan), wish_.ports, log_);
    if (const auto* trouble = std::get_if<GivesUp>(&ports)) {
        return {Outcome::refused, trouble->sentence, "Nothing was started."};
    }
    const auto standing = standing_in(wish_.records, *std::get<language::PlanPtr>(plan),
                                      request.lot, request.draft, wall_clock_.now());
    if (const auto* trouble = std::get_if<GivesUp>(&standing)) {
        return {Outcome::refused, trouble->sentence, "Nothing was started."};
    }
    const auto fit =
        fit_to_run(wish_, *std::get<language::PlanPtr>(plan), request.draft, wall_clock_.now());
    if (const auto* trouble = std::get_if<GivesUp>(&fit))
        return {Outcome::refused, trouble->sentence, "Nothing was started."};
    begin(std::move(request), std::move(std::get<0>(plan)), std::move(std::get<0>(ports)),
          std::get<answers::Standing>(standing), std::get<answers::ReadinessAnswer>(fit));
    return {Outcome::accepted, "Lot " + status_.lot + " begins.", ""};
}

void Daemon::begin(web::StartRequest request, language::PlanPtr plan,
                   std::unique_ptr<FixturePorts> ports, const answers::Standing& standing,
                   const answers::ReadinessAnswer& readiness) {
    engine::LotOptions options;
    apply(standing, options);
    options.readiness = readiness.station;
    options.lot = request.lot;
    options.station = wish_.station;
    options.operator_name = request.operator_name;
    options.units = request.units;
    options.measure_only = request.measure_only;
    options.again = request.again;
    options.only_nest = request.nest;
    shown_plan_ = plan;
    status_ = status_before(*plan, wish_.station);
    status_.measure_only = request.measure_only;
    status_.again = request.again;
    status_.draft = request.draft;
    add_known_tape(request.lot);
    prepare(std::move(ports));
    engine::Parts parts = running_->ports->parts(ledger_);
    parts.person = running_->person.get();
    running_->run = std::make_unique<engine::LotRun>(std::move(parts), std::move(plan),
                                                     std::move(options), sink(), ask(), point_);
    for (const auto& worn : wear_warnings(wish_, plan_->fixture)) log_.info(worn);
    log_.info("lot " + status_.lot + " started over HTTP by " +
              (request.operator_name.empty() ? "nobody named" : request.operator_name));
    asio::co_spawn(context_, carry_out_lot(), at_end());
}

// And what its units say to frozen charts.
asio::awaitable<engine::LotOutcome> Daemon::carry_out_lot() {
    co_await at_rest_.settled();
    const engine::LotOutcome outcome = co_await running_->run->run();
    const std::string alarms = co_await looked_after_lot(ledger_, wish_.records);
    if (!alarms.empty()) log_.info(alarms);
    co_return outcome;
}

void Daemon::add_known_tape(const std::string& lot) {
    status_.lot = lot;
    const auto reader = ledger::Reader::open(wish_.records);
    if (!reader) return;
    if (auto tape = answers::lot_tape(*reader.value(), lot)) {
        status_.tape = std::move(tape.value());
    }
}

Decision Daemon::stop_lot() {
    if (!running_) return {Outcome::refused, "No lot runs.", "There is nothing to stop."};
    status_.stopping = true;
    running_->stop_loading();
    tell_changed();
    return {Outcome::accepted, "No more units are loaded; running ones end.", ""};
}

}  // namespace padtrim
