// What the daemon answers about its station: the status, whether its own check lets it produce, its
// tally, and what is in the way of a start. Nothing here begins or ends anything.
#include "station/main/daemon.hpp"
#include "station/main/daemon_running.hpp"
#include "station/main/wishes.hpp"

namespace padtrim {

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
    } else if (!running_) {  // a run that ended by a fault, or looks after alarms, has its ports
        at_rest_.watched();
        trouble = answers::trouble_of(at_rest_.found());
    }
    if (status_.state == answers::StationState::blocked) trouble.fault = status_.last_fault;
    return answers::start_report(*reader.value(), *plan_, wish_.station, trouble,
                                 wall_clock_.now());
}

std::optional<record::ShiftCheck> Daemon::newest_shift_check() const {
    const auto reader = ledger::Reader::open(wish_.records);
    if (!reader) return std::nullopt;
    auto checks = (*reader)->shift_checks(wish_.station, plan_->fixture.fixture, 1);
    if (!checks || checks->empty()) return std::nullopt;
    return std::move(checks->front());
}

}  // namespace padtrim
