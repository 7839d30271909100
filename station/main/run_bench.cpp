#include "station/main/run_bench.hpp"

#include <algorithm>
#include <iostream>

#include <boost/asio/io_context.hpp>

#include "fixtures/bench/magazine.hpp"
#include "fixtures/bench/run_bench.hpp"
#include "fixtures/serial/clocks.hpp"
#include "recipes/language/load.hpp"
#include "station/answers/documents_check.hpp"
#include "station/main/output.hpp"

namespace padtrim {
namespace {

bool in_magazine(const bench::BenchOptions& options, std::uint32_t unit) {
    return unit >= options.first_index && unit - options.first_index < options.units;
}

GivesUp no_such_unit(const std::string& option, const bench::BenchOptions& options,
                     std::uint32_t unit) {
    const std::uint32_t last = options.first_index + options.units - 1;
    const std::string which =
        options.first_index == 1 ? "--units is " + std::to_string(options.units)
                                 : "the magazine has units " + std::to_string(options.first_index) +
                                       " to " + std::to_string(last);
    return {cli::bad_input,
            option + "there is no unit " + std::to_string(unit) + "; " + which + "."};
}

std::variant<bench::BenchOptions, GivesUp> with_troubles(bench::BenchOptions options,
                                                         const cli::BenchCommand& command) {
    std::string script;
    if (!command.fault_script.empty()) {
        const auto text = language::text_of_file(command.fault_script);
        if (!text)
            return GivesUp{cli::bad_input, "--fault-script: " + command.fault_script +
                                               " cannot be read. Check its name."};
        script = *text;
    }
    const bench::TroublePlaces places = bench::places_of(options.fixture, options.map);
    for (const auto& [option, text] :
         {std::pair{"--fault: ", command.faults}, std::pair{"--fault-script: ", script}}) {
        auto read = bench::read_troubles(text, places);
        if (const auto* problem = std::get_if<std::string>(&read))
            return GivesUp{cli::bad_input, option + *problem};
        for (auto& trouble : std::get<std::vector<bench::Trouble>>(read)) {
            if (trouble.unit && !in_magazine(options, *trouble.unit))
                return no_such_unit(option, options, *trouble.unit);
            options.troubles.push_back(std::move(trouble));
        }
    }
    return options;
}

// The defect of one unit, written without its index.
std::optional<GivesUp> set_challenge(bench::BenchOptions& options, const std::string& text) {
    options.challenge_defects.clear();
    if (text == "none") return std::nullopt;
    const auto defects = bench::read_defects("1:" + text);
    if (const auto* problem = std::get_if<std::string>(&defects))
        return GivesUp{cli::bad_input, "--challenge: " + *problem};
    for (const auto& placed : std::get<bench::DefectChoice>(defects).placed)
        options.challenge_defects.push_back({placed.kind, placed.where.value_or(0)});
    return std::nullopt;
}

std::variant<bench::BenchOptions, GivesUp> options_of(const cli::BenchCommand& command) {
    const auto check = answers::check_documents({command.unit, command.fixture});
    if (!check.good()) {
        return GivesUp{cli::bad_input, "the documents do not make a bench.\n\n" +
                                           document::text_of(check.diagnostics)};
    }
    const auto text = [](const std::string& path) {
        return language::text_of_file(path).value_or("");
    };
    const auto map = language::read_register_map(text(command.unit), command.unit);
    const auto fixture = language::read_fixture_profile(text(command.fixture), command.fixture);
    if (!map.value || !fixture.value) {
        return GivesUp{cli::bad_input,
                       "--unit wants a register map and --fixture a fixture "
                       "profile. Were they exchanged?"};
    }
    const auto defects = bench::read_defects(command.defects);
    if (const auto* problem = std::get_if<std::string>(&defects)) {
        return GivesUp{cli::bad_input, "--defects: " + *problem};
    }
    bench::BenchOptions options;
    options.map = *map.value;
    options.fixture = *fixture.value;
    options.seed = command.seed;
    options.rate = command.rate;
    options.units = command.units;
    options.first_index = command.first_unit == "next"
                              ? bench::next_unit_in(command.ports)
                              : static_cast<std::uint32_t>(std::stoul(command.first_unit));
    for (const auto& placed : std::get<bench::DefectChoice>(defects).placed) {
        if (!in_magazine(options, placed.unit))
            return no_such_unit("--defects: ", options, placed.unit);
        if (placed.where &&
            *placed.where >= std::max<std::size_t>(map.value->channels, map.value->keys.size()))
            return GivesUp{cli::bad_input, "--defects: the product has no channel or key " +
                                               std::to_string(*placed.where) +
                                               "; they are counted from 0."};
    }
    options.defects = std::get<bench::DefectChoice>(defects);
    options.standards_ready = command.standards;
    options.fixture_number = command.fixture_number;
    if (command.standards && !options.fixture.shift_check)
        return GivesUp{cli::bad_input, "--standards: " + command.fixture +
                                           " names no check standards. Add a [shift_check]."};
    if (auto wrong = set_challenge(options, command.challenge)) return std::move(*wrong);
    return with_troubles(std::move(options), command);
}

}  // namespace

int run_bench(const cli::BenchCommand& command) {
    auto options = options_of(command);
    if (const auto* trouble = std::get_if<GivesUp>(&options)) return complain(*trouble);
    bench::BenchSession session;
    session.options = std::move(std::get<bench::BenchOptions>(options));
    session.directory = command.ports;
    session.truth_file = command.truth;
    session.run_for = std::chrono::nanoseconds(static_cast<std::int64_t>(command.seconds * 1e9));
    boost::asio::io_context context(1);
    serial::SteadyClock clock(context.get_executor());
    return bench::run_bench(session, context, clock, std::cout, std::cerr);
}

}  // namespace padtrim
