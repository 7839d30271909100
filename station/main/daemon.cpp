#include "station/main/daemon.hpp"

#include <algorithm>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/post.hpp>

#include "recipes/language/load.hpp"
#include "recipes/language/one_step.hpp"
#include "station/answers/lot_report.hpp"
#include "station/engine/loader.hpp"
#include "station/engine/shift_run.hpp"
#include "station/main/alarms.hpp"
#include "station/main/chart_acts.hpp"
#include "station/main/disposal.hpp"
#include "station/main/lot_faces.hpp"
#include "station/main/rest_look.hpp"
#include "station/main/sampling_act.hpp"
#include "station/main/wishes.hpp"

namespace padtrim {

namespace asio = boost::asio;
using web::Decision;
using web::Outcome;

struct Daemon::Running {
    std::unique_ptr<FixturePorts> ports;
    std::unique_ptr<Hands> hands;
    std::unique_ptr<PersonAtHand> person;
    std::unique_ptr<engine::LotRun> run;  // or:
    std::unique_ptr<engine::ShiftRun> check;

    void stop_loading() const {
        if (run) run->stop_loading();
        if (check) check->stop_loading();
        hands->close();
    }
    // A check without one of its units decides nothing: it ends.
    void abort(std::uint16_t nest) const {
        if (run) run->abort_unit(nest);
        if (check) check->abort();
    }
};

namespace {

std::set<std::uint16_t> nests_by_hand(const language::Plan& plan) {
    std::set<std::uint16_t> nests;
    for (const auto& nest : plan.fixture.nests)
        if (!engine::has_handler(nest)) nests.insert(nest.number);
    return nests;
}

}  // namespace

Daemon::Daemon(asio::io_context& context, const cli::StationWish& wish, language::PlanPtr plan,
               const StationLog& log, ledger::Ledger& ledger, engine::WriteBackPoint point)
    : context_(context),
      wish_(wish),
      plan_(std::move(plan)),
      shown_plan_(plan_),
      log_(log),
      ledger_(ledger),
      point_(std::move(point)),
      clock_(context.get_executor()),
      at_rest_(context.get_executor(), clock_, rest_look(context, plan_, wish_.ports),
               owed_by_relays(plan_->fixture), [this] { tell_changed(); }),
      status_(status_before(*plan_, wish.station)),
      lying_(nests_by_hand(*plan_)),
      by_hand_(context, wish_, plan_, log_, ledger_,
               {[this] { return hand_over(); }, [this] { return at_rest_.settled(); }},
               [this] { tell_changed(); }),
      author_(ledger_, wish_.records, plan_),
      books_(ledger_, wish_.records, wish_.station, plan_) {}

Daemon::~Daemon() = default;

answers::StationStatus Daemon::status() const {
    answers::StationStatus status = status_;
    if (status.state != answers::StationState::ready) return status;
    const Fitness& fit = fitness();
    status.check = fit.check;
    status.state = fit.state;
    return status;
}

// The records have one writer, and that is this daemon: what they say of the station changes when a
// run of its own ends, or with time. So a reader is opened once a second and not with each call.
const Daemon::Fitness& Daemon::fitness() const {
    using namespace std::chrono_literals;
    const auto now = wall_clock_.now();
    if (fitness_ && now >= fitness_->at && now - fitness_->at < 1s) return *fitness_;
    Fitness asked = asked_fitness();
    asked.at = now;
    if (!fitness_ || fitness_->state != asked.state || fitness_->check != asked.check) ++version_;
    fitness_ = std::move(asked);
    return *fitness_;
}

Daemon::Fitness Daemon::asked_fitness() const {
    Fitness asked;
    const auto fit = fit_to_run(wish_, *plan_, true, wall_clock_.now());
    const auto* readiness = std::get_if<answers::ReadinessAnswer>(&fit);
    if (readiness == nullptr || readiness->may_produce()) return asked;
    asked.check = readiness->sentence;
    asked.state = readiness->station.state == record::Readiness::blocked
                      ? answers::StationState::blocked
                      : answers::StationState::needs_check;
    return asked;
}

std::uint64_t Daemon::version() const {
    if (status_.state == answers::StationState::ready) static_cast<void>(fitness());
    return version_;
}

void Daemon::tell_changed() {
    ++version_;
    changed_();
}

answers::StationTally Daemon::tally() const {
    answers::StationTally tally = tally_;
    if (running_)
        for (const auto& [port, count] : running_->ports->tally()) tally.links[port] += count;
    return tally;
}

answers::StartReport Daemon::start_report() const {
    if (by_hand_.held()) {
        answers::StartReport report;
        report.obstacles.push_back(
            {answers::ObstacleAt::ports, by_hand_.refusal().sentence, false});
        return report;
    }
    const auto reader = ledger::Reader::open(wish_.records);
    if (!reader) {
        answers::StartReport report;
        report.obstacles.push_back({answers::ObstacleAt::records, reader.error().what, false});
        return report;
    }
    answers::StationTrouble trouble;
    if (const auto missing = missing_ports(wish_.ports)) {
        trouble.ports = missing->sentence;
    } else {
        at_rest_.watched();
        trouble = answers::trouble_of(at_rest_.found());
    }
    if (status_.state == answers::StationState::blocked) trouble.fault = status_.last_fault;
    return answers::start_report(*reader.value(), *plan_, wish_.station, trouble,
                                 wall_clock_.now());
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

// The wanted step alone, where one is.
Opened<language::PlanPtr> Daemon::cut_for(const web::StartRequest& request) const {
    auto plan = plan_for(request);
    if (request.step.empty() || std::holds_alternative<GivesUp>(plan)) return plan;
    auto one = language::one_step_of(*std::get<language::PlanPtr>(plan), request.step);
    if (!one.plan) return GivesUp{cli::bad_input, one.problem};
    return std::move(one.plan);
}

// For a lot, a shift check or somebody's hand: one at a time on the ports.
Decision Daemon::is_free() const {
    if (gone_) return {Outcome::refused, "The daemon is leaving.", "Start it again."};
    if (running_) return {Outcome::refused, "Lot " + status_.lot + " runs.", "Wait, or stop it."};
    if (by_hand_.held()) return by_hand_.refusal();
    return {};
}

// To whoever asks for it: no look has a port any more.
Decision Daemon::hand_over() const {
    Decision free = is_free();
    if (free.outcome == Outcome::accepted) at_rest_.give_way();
    return free;
}

Decision Daemon::may_begin() const {
    if (auto no = is_free(); no.outcome != Outcome::accepted) return no;
    if (status_.state == answers::StationState::blocked) {
        return {Outcome::refused, "The station is blocked: " + status_.last_fault,
                "Clear the fault, then POST /api/fault/clear with the operator's name."};
    }
    return {};
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

void Daemon::prepare(std::unique_ptr<FixturePorts> ports) {
    status_.state = answers::StationState::running;
    running_ = std::make_unique<Running>();
    running_->ports = std::move(ports);
    running_->hands = std::make_unique<Hands>(context_.get_executor());
    running_->person = std::make_unique<PersonAtHand>(context_.get_executor());
    tell_changed();
}

engine::EventSink Daemon::sink() {
    return [this](const engine::Event& event) { take(event); };
}

engine::AskForUnit Daemon::ask() {
    return [hands = running_->hands.get()](std::uint16_t nest) { return hands->ask(nest); };
}

std::function<void(std::exception_ptr, const engine::LotOutcome&)> Daemon::at_end() {
    return [this](std::exception_ptr error, const engine::LotOutcome& outcome) {
        ended(error, outcome);
    };
}

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

// And what its units say to frozen charts.
asio::awaitable<engine::LotOutcome> Daemon::carry_out_lot() {
    co_await at_rest_.settled();
    const engine::LotOutcome outcome = co_await running_->run->run();
    const std::string alarms = co_await looked_after_lot(ledger_, wish_.records);
    if (!alarms.empty()) log_.info(alarms);
    co_return outcome;
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

std::optional<record::ShiftCheck> Daemon::newest_shift_check() const {
    const auto reader = ledger::Reader::open(wish_.records);
    if (!reader) return std::nullopt;
    auto checks = (*reader)->shift_checks(wish_.station, plan_->fixture.fixture, 1);
    if (!checks || checks->empty()) return std::nullopt;
    return std::move(checks->front());
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
    lying_.apply(status_, event);
    events_.add(event);
    tally_.apply(event);
    tell_changed();
    // The lots of a shift check end before it does.
    if (running_->check && status_.state == answers::StationState::ready) {
        status_.state = answers::StationState::running;
        status_.ended.clear();
    }
}

// The run's own frames have not ended yet when it says so: its parts go one turn later.
void Daemon::ended(std::exception_ptr error, const engine::LotOutcome& outcome) {
    if (error) failure_ = error;
    if (status_.state == answers::StationState::running)
        status_.state = answers::StationState::ready;
    if (outcome.station_fault) {
        status_.state = answers::StationState::blocked;
        if (status_.last_fault.empty()) status_.last_fault = outcome.reason;
    }
    fitness_.reset();
    asio::post(context_, [this] {
        tally_ = tally();
        running_.reset();
        tell_changed();
        if (failure_ && !gone_) context_.stop();
        if (gone_) gone_();
    });
}

Decision Daemon::stop_lot() {
    if (!running_) return {Outcome::refused, "No lot runs.", "There is nothing to stop."};
    status_.stopping = true;
    running_->stop_loading();
    tell_changed();
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
    running_->abort(nest);
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

Decision Daemon::clear_fault(std::string person) {
    if (running_ || status_.state != answers::StationState::blocked) {
        return {Outcome::refused, "The station is not blocked.", "There is nothing to clear."};
    }
    log_.info("fault cleared by " + person + ": " + status_.last_fault);
    status_.state = answers::StationState::ready;
    status_.last_fault.clear();
    tell_changed();
    return {Outcome::accepted, "The station is ready.", ""};
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

void Daemon::leave(std::function<void()> gone) {
    gone_ = std::move(gone);
    at_rest_.end();
    if (!running_) return by_hand_.leave(gone_);
    stop_lot();
}

void Daemon::abort_all() {
    if (!running_) return;
    for (const auto& nest : status_.nests) running_->abort(nest.number);
}

}  // namespace padtrim
