#include "station/main/list_ports.hpp"

#include <algorithm>
#include <cstdio>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include "fixtures/drivers/port_probe.hpp"
#include "fixtures/serial/clocks.hpp"
#include "fixtures/serial/port_list.hpp"
#include "fixtures/serial/serial_ports.hpp"
#include "recipes/language/load.hpp"
#include "station/answers/json.hpp"
#include "station/cli/port_texts.hpp"
#include "station/main/output.hpp"
#include "station/main/station_parts.hpp"
#include "station/main/wishes.hpp"

namespace padtrim {
namespace {

namespace asio = boost::asio;
using Answers = std::vector<port::DeviceAnswer>;

Opened<language::RegisterMap> map_at(const std::string& path) {
    const auto text = language::read_text(path);
    if (!text.value) return GivesUp{cli::bad_input, document::text_of(text.diagnostics)};
    auto map = language::read_register_map(*text.value, path);
    if (!map.value) return GivesUp{cli::bad_input, document::text_of(map.diagnostics)};
    return std::move(*map.value);
}

Answers ask_all(const cli::PortsCommand& command, const language::FixtureProfile& profile,
                const language::RegisterMap* map) {
    asio::io_context context(1);
    serial::SteadyClock clock(context.get_executor());
    serial::SerialPorts ports(context.get_executor(), clock, command.ports);
    const auto open = [&](const language::PortName& port) { return ports.open(port); };
    Answers heard;
    asio::co_spawn(context, drivers::ask_devices(profile, map, clock, open, warn_of),
                   [&](std::exception_ptr bug, Answers came) {
                       if (bug) std::rethrow_exception(bug);
                       heard = std::move(came);
                   });
    context.run();
    return heard;
}

}  // namespace

int list_ports(const cli::PortsCommand& command) {
    Answers heard;
    if (!command.fixture.empty()) {
        const auto profile = profile_at(command.fixture);
        if (const auto* trouble = std::get_if<GivesUp>(&profile)) return complain(*trouble);
        std::optional<language::RegisterMap> map;
        if (!command.unit.empty()) {
            auto read = map_at(command.unit);
            if (const auto* trouble = std::get_if<GivesUp>(&read)) return complain(*trouble);
            map = std::move(std::get<language::RegisterMap>(read));
        }
        heard =
            ask_all(command, std::get<language::FixtureProfile>(profile), map ? &*map : nullptr);
    }
    serial::PortPlaces places;
    places.listed = command.ports;
    const auto ports = serial::list_ports(places);
    if (command.json)
        print_line(answers::text_of(cli::ports_json(ports, heard)));
    else
        print_lines(cli::port_lines(ports, !command.fixture.empty(), heard));
    const bool failed = std::any_of(heard.begin(), heard.end(), [](const auto& answer) {
        return answer.heard == port::Heard::failed;
    });
    const auto missing = missing_ports(command.ports);
    // The usual folder is not there as long as no adapter is plugged in.
    const bool wrong = missing && command.ports != cli::usual_ports;
    if (wrong) complain(*missing);
    return failed || wrong ? cli::station_fault : cli::done;
}

}  // namespace padtrim
