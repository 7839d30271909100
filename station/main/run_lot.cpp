#include "station/main/run_lot.hpp"

#include <unistd.h>

#include "recipes/language/one_step.hpp"
#include "station/main/alarms.hpp"
#include "station/main/attended.hpp"
#include "station/main/daemon_file.hpp"
#include "station/main/follow_daemon.hpp"
#include "station/main/lot_faces.hpp"
#include "station/main/station_parts.hpp"
#include "station/main/wishes.hpp"

namespace padtrim {
namespace {

namespace asio = boost::asio;

engine::LotOptions options_of(const cli::RunCommand& command, const answers::Standing& standing) {
    engine::LotOptions options;
    apply(standing, options);
    options.lot = command.lot;
    options.station = command.of.station;
    options.operator_name = command.operator_name;
    options.units = command.units;
    options.measure_only = command.measure_only;
    options.again = command.again;
    options.only_nest = command.nest;
    return options;
}

// A step alone is looked at on one unit, which stays as it was.
cli::RunCommand for_one_step(cli::RunCommand command) {
    if (command.one_step.empty()) return command;
    command.draft = command.measure_only = true;
    if (command.units == 0) command.units = 1;
    return command;
}

std::optional<GivesUp> wrong_with_nest(const cli::RunCommand& command, const language::Plan& plan) {
    if (!command.nest || plan.fixture.nest(*command.nest) != nullptr) return std::nullopt;
    return GivesUp{cli::bad_input,
                   command.of.fixture + " has no nest " + std::to_string(*command.nest) + "."};
}

// One lot in this process, from the opened parts to the last safe state.
class OwnLot {
  public:
    OwnLot(asio::io_context& context, const cli::RunCommand& command, language::PlanPtr plan,
           engine::Parts parts, const engine::LotOptions& options, engine::WriteBackPoint point)
        : nests_(plan->fixture.nests),
          attended_(
              context, command, plan, *parts.clock, [this] { run_.stop_loading(); },
              [this] { abort(); }),
          run_(attended_.with_person(std::move(parts)), plan, options, attended_.sink(),
               attended_.ask(), std::move(point)) {}

    engine::LotOutcome run(const std::vector<std::string>& remarks) {
        return attended_.run(run_.run(), remarks);
    }

  private:
    void abort() {
        for (const auto& nest : nests_) run_.abort_unit(nest.number);
    }
    std::vector<language::Nest> nests_;
    Attended attended_;
    engine::LotRun run_;
};

int run_own_lot(const cli::RunCommand& command, const language::PlanPtr& plan,
                engine::WriteBackPoint point) {
    if (const auto missing = missing_ports(command.of.ports)) return complain(*missing);
    if (const auto missing = missing_log_folder(command.log)) return complain(*missing);
    asio::io_context context(1);
    const StationLog log(command.log, command.of.records,
                         wants_live_view(command) && ::isatty(STDERR_FILENO) == 1);
    auto ports = FixturePorts::open_patiently(context, plan, command.of.ports, log);
    if (const auto* trouble = std::get_if<GivesUp>(&ports)) return complain(*trouble);
    auto ledger = open_ledger(context, command.of.records);
    if (const auto* trouble = std::get_if<GivesUp>(&ledger)) return complain(*trouble);
    auto parts = std::get<0>(ports)->parts(*std::get<0>(ledger));
    const auto standing =
        standing_in(command.of.records, *plan, command.lot, command.draft, parts.wall_clock->now());
    if (const auto* trouble = std::get_if<GivesUp>(&standing)) return complain(*trouble);
    const auto readiness = fit_to_run(command.of, *plan, command.draft, parts.wall_clock->now());
    if (const auto* trouble = std::get_if<GivesUp>(&readiness)) return complain(*trouble);
    const auto& fit = std::get<answers::ReadinessAnswer>(readiness);
    engine::LotOutcome outcome;
    {
        const auto& granted = std::get<answers::Standing>(standing);
        engine::LotOptions options = options_of(command, granted);
        options.readiness = fit.station;
        OwnLot lot(context, command, plan, std::move(parts), options, std::move(point));
        const bool plain = granted.permission.kind == record::PermissionKind::released;
        std::vector<std::string> remarks{plain ? "" : granted.sentence, fit.sentence};
        for (auto& worn : wear_warnings(command.of, plan->fixture)) remarks.push_back(worn);
        outcome = lot.run(remarks);
    }
    look_after_lot(context, *std::get<0>(ledger), command.of.records);
    if (!command.json && !fit.may_produce()) print_line(fit.sentence);
    summarise(command, log.file());
    if (outcome.station_fault) return complain({cli::station_fault, outcome.reason});
    return exit_of(outcome.count);
}

}  // namespace

int run_lot(const cli::RunCommand& asked, engine::WriteBackPoint point) {
    auto plan = plan_of(asked.of);
    if (const auto* trouble = std::get_if<GivesUp>(&plan)) return complain(*trouble);
    if (const auto wrong = wrong_with_nest(asked, *std::get<0>(plan))) return complain(*wrong);
    const cli::RunCommand command = for_one_step(asked);
    if (!command.one_step.empty()) {
        auto one = language::one_step_of(*std::get<0>(plan), command.one_step);
        if (!one.plan) return complain({cli::bad_input, one.problem});
        std::get<0>(plan) = std::move(one.plan);
    }
    if (const auto wrong = wrong_with_names(command.of, &command)) return complain(*wrong);
    if (const auto daemon = find_daemon(command.of.records)) {
        const auto standing = standing_in(command.of.records, *std::get<0>(plan), command.lot,
                                          command.draft, serial::SystemWallClock().now());
        if (const auto* trouble = std::get_if<GivesUp>(&standing)) return complain(*trouble);
        return follow_daemon(command, std::get<0>(plan), *daemon);
    }
    return run_own_lot(command, std::get<0>(plan), std::move(point));
}

}  // namespace padtrim
