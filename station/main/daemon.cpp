#include "station/main/daemon.hpp"

#include <algorithm>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/post.hpp>

#include "recipes/language/load.hpp"
#include "station/answers/lot_report.hpp"
#include "station/main/lot_faces.hpp"

namespace padtrim {

namespace asio = boost::asio;
using web::Decision;
using web::Outcome;

struct Daemon::Running {
    std::unique_ptr<FixturePorts> ports;
    std::unique_ptr<Hands> hands;
    std::unique_ptr<PersonAtHand> person;
    std::unique_ptr<engine::LotRun> run;
};

Daemon::Daemon(asio::io_context& context, const cli::StationWish& wish, language::PlanPtr plan,
               const StationLog& log, ledger::Ledger& ledger, engine::WriteBackPoint point)
    : context_(context),
      wish_(wish),
      plan_(std::move(plan)),
      log_(log),
      ledger_(ledger),
      point_(std::move(point)),
      status_(status_before(*plan_, wish.station)) {}

Daemon::~Daemon() = default;

answers::StationStatus Daemon::status() const {
    answers::StationStatus status = status_;
    if (status.state != answers::StationState::ready) return status;
    const auto fit = fit_to_run(wish_, *plan_, true, wall_clock_.now());
    const auto* readiness = std::get_if<answers::ReadinessAnswer>(&fit);
    if (readiness == nullptr || readiness->may_produce()) return status;
    status.check = readiness->sentence;
    status.state = readiness->station.state == record::Readiness::blocked
                       ? answers::StationState::blocked
                       : answers::StationState::needs_check;
    return status;
}

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

Decision Daemon::start_lot(web::StartRequest request) {
    if (gone_) return {Outcome::refused, "The daemon is leaving.", "Start it again."};
    if (running_) return {Outcome::refused, "Lot " + status_.lot + " runs.", "Wait, or stop it."};
    if (status_.state == answers::StationState::blocked) {
        return {Outcome::refused, "The station is blocked: " + status_.last_fault,
                "Clear the fault, then POST /api/fault/clear with the operator's name."};
    }
    auto plan = plan_for(request);
    if (const auto* trouble = std::get_if<GivesUp>(&plan)) {
        return {Outcome::bad, trouble->sentence, "Use the fixture profile of the daemon."};
    }
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
    status_ = status_before(*plan, wish_.station);
    status_.measure_only = request.measure_only;
    status_.draft = request.draft;
    add_known_tape(request.lot);
    status_.state = answers::StationState::running;
    running_ = std::make_unique<Running>();
    running_->ports = std::move(ports);
    running_->hands = std::make_unique<Hands>(context_.get_executor());
    running_->person = std::make_unique<PersonAtHand>(context_.get_executor());
    engine::Parts parts = running_->ports->parts(ledger_);
    parts.person = running_->person.get();
    running_->run = std::make_unique<engine::LotRun>(
        std::move(parts), std::move(plan), std::move(options),
        [this](const engine::Event& event) { take(event); },
        [hands = running_->hands.get()](std::uint16_t nest) { return hands->ask(nest); }, point_);
    for (const auto& worn : wear_warnings(wish_, plan_->fixture)) log_.info(worn);
    log_.info("lot " + status_.lot + " started over HTTP by " +
              (request.operator_name.empty() ? "nobody named" : request.operator_name));
    asio::co_spawn(context_, running_->run->run(),
                   [this](std::exception_ptr error, const engine::LotOutcome& outcome) {
                       ended(error, outcome);
                   });
}

void Daemon::add_known_tape(const std::string& lot) {
    status_.lot = lot;
    const auto reader = ledger::Reader::open(wish_.records);
    if (!reader) return;
    if (auto tape = answers::lot_tape(*reader.value(), lot)) {
        status_.tape = std::move(tape.value());
    }
}

void Daemon::take(const engine::Event& event) {
    apply(status_, event);
    events_.add(event);
}

// The run's own frames have not ended yet when it says so: its parts go one turn later.
void Daemon::ended(std::exception_ptr error, const engine::LotOutcome& outcome) {
    if (error) failure_ = error;
    if (outcome.station_fault) {
        status_.state = answers::StationState::blocked;
        if (status_.last_fault.empty()) status_.last_fault = outcome.reason;
    }
    asio::post(context_, [this] {
        running_.reset();
        if (failure_ && !gone_) context_.stop();
        if (gone_) gone_();
    });
}

Decision Daemon::stop_lot() {
    if (!running_) return {Outcome::refused, "No lot runs.", "There is nothing to stop."};
    status_.stopping = true;
    running_->run->stop_loading();
    running_->hands->close();
    return {Outcome::accepted, "No more units are loaded; running ones end.", ""};
}

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
    running_->run->abort_unit(nest);
    return {Outcome::accepted, "The unit gets no verdict; if it was written to, it is quarantined.",
            ""};
}

Decision Daemon::load_nest(std::uint16_t nest, std::string label) {
    if (running_ && running_->hands->load(nest, label)) {
        return {Outcome::accepted, "The unit runs.", ""};
    }
    return {Outcome::refused, "Nest " + std::to_string(nest) + " does not wait for a unit.",
            "GET /api/status says what each nest does."};
}

Decision Daemon::answer_nest(std::uint16_t nest, bool yes) {
    if (running_ && running_->person->answer(nest, yes)) {
        return {Outcome::accepted, "The step goes on.", ""};
    }
    return {Outcome::refused, "Nest " + std::to_string(nest) + " asks nothing.",
            "GET /api/status says what each nest asks."};
}

Decision Daemon::clear_fault(std::string person) {
    if (running_ || status_.state != answers::StationState::blocked) {
        return {Outcome::refused, "The station is not blocked.", "There is nothing to clear."};
    }
    log_.info("fault cleared by " + person + ": " + status_.last_fault);
    status_.state = answers::StationState::ready;
    status_.last_fault.clear();
    return {Outcome::accepted, "The station is ready.", ""};
}

void Daemon::leave(std::function<void()> gone) {
    gone_ = std::move(gone);
    if (!running_) return gone_();
    stop_lot();
}

void Daemon::abort_all() {
    if (!running_) return;
    for (const auto& nest : status_.nests) running_->run->abort_unit(nest.number);
}

}  // namespace padtrim
