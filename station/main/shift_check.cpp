#include "station/main/shift_check.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <unistd.h>

#include "station/answers/names.hpp"
#include "station/cli/shift_check_texts.hpp"
#include "station/engine/shift_run.hpp"
#include "station/main/attended.hpp"
#include "station/main/desk.hpp"
#include "station/main/station_parts.hpp"
#include "station/main/wishes.hpp"

namespace padtrim {
namespace {

namespace asio = boost::asio;

// The shift run in this process.
class OwnCheck {
  public:
    OwnCheck(asio::io_context& context, const cli::RunCommand& command,
             const language::PlanPtr& plan, engine::Parts parts, engine::LotOptions options)
        : attended_(
              context, command, plan, *parts.clock, [this] { run_.stop_loading(); },
              [this] { run_.abort(); }),
          run_(attended_.with_person(std::move(parts)), plan, std::move(options), attended_.sink(),
               attended_.ask()) {}

    engine::ShiftOutcome run() {
        return attended_.run(run_.run(), {"Shift check: nothing is written to any unit."});
    }

  private:
    Attended attended_;
    engine::ShiftRun run_;
};

// Faces and wiring are those of a lot that measures only.
cli::RunCommand as_run(const cli::ShiftCheckCommand& command, const std::string& lot) {
    cli::RunCommand run;
    run.of = command.of;
    run.lot = lot;
    run.operator_name = command.who;
    run.measure_only = true;
    run.json = command.json;
    run.plain = command.plain;
    run.log = command.log;
    return run;
}

int told(const record::ShiftCheck& check, bool json) {
    if (json) {
        print_line(answers::text_of(answers::to_json(check)));
    } else {
        print_lines(cli::shift_check_text(check, paper_of_stdout()));
    }
    return check.decision == record::CheckDecision::ready ? cli::done : cli::some_did_not_pass;
}

int keep(ledger::Ledger& ledger, const cli::ShiftCheckCommand& command, record::ShiftCheck check) {
    asio::io_context context(1);
    check.station = command.of.station;
    check.who = command.who;
    const auto number = done<std::int64_t>(context, ledger.keep_shift_check(check));
    if (!number) return complain({cli::station_fault, number.error().what});
    check.id = *number;
    return told(check, command.json);
}

int carry_out(const cli::ShiftCheckCommand& command, const language::PlanPtr& plan) {
    if (const auto missing = missing_ports(command.of.ports)) return complain(*missing);
    if (const auto missing = missing_log_folder(command.log)) return complain(*missing);
    asio::io_context context(1);
    const auto now = serial::SystemWallClock().now();
    const std::string lot = "shift check " + answers::iso_8601(now).substr(0, 19) + "Z";
    const cli::RunCommand run = as_run(command, lot);
    const StationLog log(command.log, command.of.records,
                         wants_live_view(run) && ::isatty(STDERR_FILENO) == 1);
    auto ports = FixturePorts::open_patiently(context, plan, command.of.ports, log);
    if (const auto* trouble = std::get_if<GivesUp>(&ports)) return complain(*trouble);
    auto ledger = open_ledger(context, command.of.records);
    if (const auto* trouble = std::get_if<GivesUp>(&ledger)) return complain(*trouble);
    const auto reader = ledger::Reader::open(command.of.records);
    if (!reader) return complain({cli::station_fault, reader.error().what});
    const auto history = (*reader)->chart_history(command.of.station, plan->fixture.fixture);
    if (!history) return complain({cli::station_fault, history.error().what});
    engine::LotOptions options;
    options.lot = lot;
    options.station = command.of.station;
    options.operator_name = command.who;
    engine::ShiftOutcome outcome;
    {
        OwnCheck check(context, run, plan, std::get<0>(ports)->parts(*std::get<0>(ledger)),
                       std::move(options));
        outcome = check.run();
    }
    if (!outcome.reason.empty())
        return complain({cli::station_fault,
                         "The shift check did not come to its end, and "
                         "decides nothing. " +
                             outcome.reason});
    auto check = answers::shift_check_of(*plan, outcome, *history);
    check.at = serial::SystemWallClock().now();
    return keep(*std::get<0>(ledger), command, std::move(check));
}

int list(const cli::ShiftCheckCommand& command) {
    const auto reader = ledger::Reader::open(command.of.records);
    if (!reader) return complain({cli::bad_input, reader.error().what});
    constexpr std::size_t newest = 20;
    const auto checks = (*reader)->shift_checks(command.of.station, "", newest);
    if (!checks) return complain({cli::bad_input, checks.error().what});
    if (command.json) {
        boost::json::array all;
        for (const auto& check : *checks) all.push_back(answers::to_json(check));
        print_line(answers::text_of(boost::json::object{{"shift_checks", std::move(all)}}));
        return cli::done;
    }
    if (!checks->empty()) print_lines(cli::shift_check_text(checks->front(), paper_of_stdout()));
    if (!checks->empty()) print_line("");
    print_lines(cli::shift_checks_text(*checks, paper_of_stdout()));
    return cli::done;
}

int begin_new_charts(const cli::ShiftCheckCommand& command) {
    const std::string missing =
        missing_of("Say who decides this: --operator NAME.", command.who, command.why);
    if (!missing.empty()) return complain({cli::bad_input, missing});
    const auto profile = profile_at(command.of.fixture);
    if (const auto* trouble = std::get_if<GivesUp>(&profile)) return complain(*trouble);
    const std::string& fixture = std::get<0>(profile).fixture;
    Desk desk;
    if (const int code = desk.open(command.of.records)) return code;
    const auto restarted =
        done<void>(desk.context, desk.ledger->restart_charts({command.of.station, fixture,
                                                              command.who, command.why, desk.now}));
    if (!restarted) return complain({cli::bad_input, restarted.error().what});
    print_line(command.json
                   ? answers::text_of(boost::json::object{{"new_charts", fixture}})
                   : "The charts of " + fixture + " on station " + command.of.station +
                         " learn anew from the next shift check on; the old ones stay on record.");
    return cli::done;
}

}  // namespace

int shift_check(const cli::ShiftCheckCommand& command) {
    if (const auto wrong = wrong_with_names(command.of, nullptr)) return complain(*wrong);
    if (!command.who.empty())
        if (const auto wrong = answers::wrong_with_name("operator", command.who); !wrong.empty())
            return complain({cli::bad_input, wrong});
    if (command.new_charts) return begin_new_charts(command);
    if (command.of.recipe.empty()) return list(command);
    const auto plan = plan_of(command.of);
    if (const auto* trouble = std::get_if<GivesUp>(&plan)) return complain(*trouble);
    if (!std::get<0>(plan)->fixture.shift_check)
        return complain({cli::bad_input, command.of.fixture +
                                             " names no check standards. Add a [shift_check]: "
                                             "docs/fixture-reference.md."});
    return carry_out(command, std::get<0>(plan));
}

}  // namespace padtrim
