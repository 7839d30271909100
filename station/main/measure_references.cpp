#include "station/main/measure_references.hpp"

#include <chrono>
#include <cstdio>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include "fixtures/drivers/reference_stand.hpp"
#include "fixtures/serial/clocks.hpp"
#include "fixtures/serial/serial_ports.hpp"
#include "recipes/language/load.hpp"
#include "recipes/language/refresh_profile.hpp"
#include "station/answers/json.hpp"
#include "station/answers/names.hpp"
#include "station/answers/times.hpp"
#include "station/cli/reference_texts.hpp"
#include "station/engine/contact_counter.hpp"
#include "station/engine/reference_run.hpp"
#include "station/main/desk.hpp"
#include "station/main/output.hpp"
#include "station/main/patiently.hpp"
#include "station/main/station_parts.hpp"

namespace padtrim {
namespace {

namespace asio = boost::asio;
using Readings = port::Outcome<std::vector<metrology::TipReadings>>;

std::string date_of(std::chrono::sys_days day) {
    const std::chrono::year_month_day date(day);
    char text[32];
    std::snprintf(text, sizeof text, "%04d-%02u-%02u", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
    return text;
}

// As long after today as the last one was due after its day.
std::string next_due(const language::EquipmentRecord& record, std::chrono::sys_days today) {
    const auto on = answers::moment_of(record.characterised_on);
    const auto due = answers::moment_of(record.recalibration_due);
    const auto days =
        on && due ? std::chrono::floor<std::chrono::days>(*due - *on) : std::chrono::days(365);
    return date_of(today + days);
}

// "" when the words make sense together.
std::string wrong_with(const cli::ReferenceCommand& command, const std::string& today) {
    if (!command.adapter_laid)
        return "This presses the contact pins down. Lay the adapter into every nest, connect the "
               "meter, keep hands away, and say so with --adapter-laid.";
    if (const auto problem = wrong_with_target(command.out, command.write, command.fixture);
        !problem.empty())
        return problem;
    if (const auto problem = answers::wrong_with_name("certificate", command.certificate);
        !problem.empty())
        return problem;
    if (!command.due.empty() &&
        (command.due.size() != today.size() || !answers::moment_of(command.due)))
        return "--due wants a day such as 2027-03-31.";
    if (!command.due.empty() && command.due <= today) return "--due has to lie after today.";
    return "";
}

// `worn`: what the contacts did, whatever became of the readings.
Opened<Readings> read_all(const cli::ReferenceCommand& command,
                          const language::FixtureProfile& profile,
                          std::vector<record::CoilOperations>& worn) {
    asio::io_context context(1);
    serial::SteadyClock clock(context.get_executor());
    serial::SerialPorts ports(context.get_executor(), clock, command.ports);
    const auto link = [&](const language::PortName& port) { return ports.open(port); };
    auto stand = patiently(context, clock, [&] {
        return drivers::ReferenceStand::open(profile, clock, link, warn_of);
    });
    if (!stand) return GivesUp{cli::station_fault, stand.error().what};
    engine::ReferenceRun run;
    run.profile = &profile;
    engine::ContactCounter contacts((*stand)->relays());
    run.relays = &contacts;
    run.meter = &(*stand)->meter();
    run.interlock = (*stand)->interlock();
    run.repeats = command.repeats;
    run.progress = [&](std::size_t done, std::size_t all) {
        std::fprintf(stderr, "tip %zu of %zu\n", done + 1, all);
    };
    std::optional<Readings> readings;
    asio::co_spawn(context, engine::read_tips(run), [&](std::exception_ptr bug, Readings outcome) {
        if (bug) std::rethrow_exception(bug);
        readings = std::move(outcome);
    });
    context.run();
    worn = contacts.take();
    return std::move(*readings);
}

}  // namespace

int measure_references(const cli::ReferenceCommand& command) {
    const auto today = std::chrono::floor<std::chrono::days>(serial::SystemWallClock().now());
    const std::string day = date_of(today);
    if (const auto problem = wrong_with(command, day); !problem.empty())
        return complain({cli::bad_input, problem});
    const auto text = language::read_text(command.fixture);
    if (!text.value) return complain({cli::bad_input, document::text_of(text.diagnostics)});
    const auto profile = language::read_fixture_profile(*text.value, command.fixture);
    if (!profile.value) return complain({cli::bad_input, document::text_of(profile.diagnostics)});
    if (!profile.value->meter)
        return complain({cli::bad_input, command.fixture + " has no [meter]. Add one: "
                                                           "docs/fixture-reference.md."});
    Desk desk;  // before anything wears
    if (!command.records.empty())
        if (const int code = desk.open(command.records)) return code;
    record::ContactCounts worn{command.station, profile.value->fixture, {}, desk.now};
    auto read = read_all(command, *profile.value, worn.coils);
    if (desk.ledger && !worn.coils.empty()) {
        const auto kept = done<void>(desk.context, desk.ledger->count_contacts(std::move(worn)));
        if (!kept) complain({cli::station_fault, "the wear was not counted: " + kept.error().what});
    }
    if (const auto* trouble = std::get_if<GivesUp>(&read)) return complain(*trouble);
    const Readings& readings = std::get<Readings>(read);
    if (!readings) return complain({cli::station_fault, readings.error().what});
    const auto judged = metrology::characterise(*profile.value, *readings);
    if (!judged.problem.empty()) return complain({cli::station_fault, judged.problem});

    const language::EquipmentRecord& before = profile.value->equipment;
    auto record = metrology::renewed(before, judged.found);
    record.certificate = command.certificate;
    record.characterised_on = day;
    record.recalibration_due = command.due.empty() ? next_due(before, today) : command.due;
    record.temperature = Celsius(command.room);
    const auto renewed = language::refreshed_profile(*text.value, command.fixture, record);
    if (!renewed.problem.empty()) return complain({cli::bad_input, renewed.problem});
    const std::string place = command.write ? command.fixture : command.out;
    if (const auto problem = write_whole(place, renewed.text); !problem.empty())
        return complain({cli::station_fault, problem});

    const auto changes = metrology::changes_since(before, judged.found);
    if (command.json) {
        print_line(answers::text_of(cli::reference_json(judged.found, changes)));
    } else {
        print_lines(cli::reference_lines(judged.found, changes));
        print_line("Written to " + place + ": characterised " + day + ", due " +
                   record.recalibration_due + ". A changed profile makes a new plan: release it.");
    }
    for (const auto& change : changes)
        if (change.changed) return cli::some_did_not_pass;
    return cli::done;
}

}  // namespace padtrim
