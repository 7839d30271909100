// The life of the daemon's station: who has its ports, what events make of its status, how a run of
// whatever kind ends, and how the daemon leaves. Its other acts stand in daemon_*.cpp.
#include "station/main/daemon.hpp"

#include <set>

#include <boost/asio/post.hpp>

#include "station/engine/loader.hpp"
#include "station/main/daemon_running.hpp"
#include "station/main/lot_faces.hpp"
#include "station/main/rest_look.hpp"

namespace padtrim {

namespace asio = boost::asio;
using web::Decision;
using web::Outcome;

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

void Daemon::tell_changed() {
    ++version_;
    changed_();
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
