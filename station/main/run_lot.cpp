#include "station/main/run_lot.hpp"

#include <algorithm>
#include <exception>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <unistd.h>

#include "station/main/daemon_file.hpp"
#include "station/main/follow_daemon.hpp"
#include "station/main/hands.hpp"
#include "station/main/interruptions.hpp"
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
    return options;
}

// One lot in this process, from the opened parts to the last safe state.
class OwnLot {
  public:
    OwnLot(asio::io_context& context, const cli::RunCommand& command, language::PlanPtr plan,
           engine::Parts parts, const answers::Standing& standing, engine::WriteBackPoint point)
        : context_(context),
          progress_(progress_of(command, plan)),
          clock_(*parts.clock),
          hands_(context.get_executor()),
          person_(context.get_executor()),
          by_hand_(std::any_of(plan->fixture.nests.begin(), plan->fixture.nests.end(),
                               [](const auto& nest) { return !nest.advance_coil; })),
          nests_(plan->fixture.nests),
          run_(
              with_person(std::move(parts)), plan, options_of(command, standing),
              [this](const engine::Event& event) { progress_->show(event); },
              [this](std::uint16_t nest) { return hands_.ask(nest); }, std::move(point)),
          interruptions_(
              context.get_executor(), [this] { stop_loading(); }, [this] { abort(); }) {}

    engine::LotOutcome run(const std::vector<std::string>& remarks) {
        for (const auto& remark : remarks) {
            if (!remark.empty()) progress_->remark(remark);
        }
        asio::co_spawn(context_, keep_drawing(progress_, clock_), asio::detached);
        if (by_hand_ || answers_) {
            asio::co_spawn(context_, read_lines(STDIN_FILENO, hands_, person_),
                           asio::bind_cancellation_slot(typing_.slot(), asio::detached));
        }
        asio::co_spawn(context_, run_.run(),
                       [this](std::exception_ptr error, engine::LotOutcome outcome) {
                           failure_ = error;
                           outcome_ = std::move(outcome);
                           interruptions_.cancel();
                           typing_.emit(asio::cancellation_type::terminal);
                           progress_->close();
                       });
        context_.run();
        if (failure_) std::rethrow_exception(failure_);
        return outcome_;
    }

  private:
    void stop_loading() {
        progress_->stopping();
        run_.stop_loading();
        hands_.close();
    }
    void abort() {
        progress_->remark("Running units are aborted.");
        for (const auto& nest : nests_) run_.abort_unit(nest.number);
    }

    // Somebody can answer only where somebody can type.
    engine::Parts with_person(engine::Parts parts) {
        answers_ = ::isatty(STDIN_FILENO) == 1;
        if (answers_) parts.person = &person_;
        return parts;
    }

    asio::io_context& context_;
    std::shared_ptr<cli::Progress> progress_;
    port::Clock& clock_;
    Hands hands_;
    PersonAtHand person_;
    bool answers_ = false;
    bool by_hand_;
    std::vector<language::Nest> nests_;
    engine::LotRun run_;
    Interruptions interruptions_;
    asio::cancellation_signal typing_;
    std::exception_ptr failure_;
    engine::LotOutcome outcome_;
};

int run_own_lot(const cli::RunCommand& command, const language::PlanPtr& plan,
                engine::WriteBackPoint point) {
    if (const auto missing = missing_ports(command.of.ports)) return complain(*missing);
    if (const auto missing = missing_log_folder(command.log)) return complain(*missing);
    asio::io_context context(1);
    const StationLog log(command.log, command.of.records,
                         wants_live_view(command) && ::isatty(STDERR_FILENO) == 1);
    auto ports = FixturePorts::open(context, plan, command.of.ports, log);
    if (const auto* trouble = std::get_if<GivesUp>(&ports)) return complain(*trouble);
    auto ledger = open_ledger(context, command.of.records);
    if (const auto* trouble = std::get_if<GivesUp>(&ledger)) return complain(*trouble);
    auto parts = std::get<0>(ports)->parts(*std::get<0>(ledger));
    const auto standing =
        standing_in(command.of.records, *plan, command.lot, command.draft, parts.wall_clock->now());
    if (const auto* trouble = std::get_if<GivesUp>(&standing)) return complain(*trouble);
    const std::string warning = recalibration_warning(*plan, *parts.wall_clock);
    engine::LotOutcome outcome;
    {
        const auto& granted = std::get<answers::Standing>(standing);
        OwnLot lot(context, command, plan, std::move(parts), granted, std::move(point));
        const bool plain = granted.permission.kind == record::PermissionKind::released;
        outcome = lot.run({plain ? "" : granted.sentence, warning});
    }
    if (!command.json && !warning.empty()) print_line(warning);
    summarise(command, log.file());
    if (outcome.station_fault) return complain({cli::station_fault, outcome.reason});
    return exit_of(outcome.count);
}

}  // namespace

int run_lot(const cli::RunCommand& command, engine::WriteBackPoint point) {
    auto plan = plan_of(command.of);
    if (const auto* trouble = std::get_if<GivesUp>(&plan)) return complain(*trouble);
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
