#include "station/main/dispose.hpp"

#include <exception>
#include <optional>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "fixtures/serial/clocks.hpp"
#include "station/answers/dispositions.hpp"
#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/main/output.hpp"
#include "station/main/station_parts.hpp"

namespace padtrim {
namespace {

GivesUp refusal_of(const journal::StoreFault& fault) {
    const bool held = fault.kind == journal::StoreFaultKind::locked;
    return {held ? cli::station_fault : cli::bad_input, fault.what};
}

// The newest run of the unit that has ended.
Opened<record::RunId> run_to_decide(const cli::DisposeCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return refusal_of(reader.error());
    const auto newest = answers::run_to_decide(*reader.value(), command.serial);
    if (!newest) return refusal_of(newest.error());
    if (*newest) return (*newest)->run;
    return GivesUp{cli::bad_input, "No run of a unit '" + answers::printable(command.serial, 60) +
                                       "' has ended in " + command.records +
                                       ". Check the serial; padtrim yield lists the lots."};
}

}  // namespace

int dispose(const cli::DisposeCommand& command) {
    std::string wrong = answers::wrong_with_name("person", command.who);
    if (wrong.empty() && answers::blank(command.why)) wrong = "The reason is empty. Give one.";
    if (!wrong.empty()) return complain({cli::bad_input, wrong});
    const auto run = run_to_decide(command);
    if (const auto* trouble = std::get_if<GivesUp>(&run)) return complain(*trouble);
    boost::asio::io_context context(1);
    auto opened = ledger::Ledger::open(command.records, context.get_executor(),
                                       ledger::Writing::inline_calls);
    if (!opened) return complain(refusal_of(opened.error()));
    const auto now = serial::SystemWallClock().now();
    std::optional<journal::StoreFault> fault;
    boost::asio::co_spawn(
        context,
        opened.value()->decide(std::get<0>(run), answers::decision_named(command.to).value(),
                               command.who, answers::printable(command.why, 2000), now),
        [&](std::exception_ptr bug, const journal::Stored<void>& stored) {
            if (bug) std::rethrow_exception(bug);
            if (!stored) fault = stored.error();
        });
    context.run();
    if (fault) return complain(refusal_of(*fault));
    print_line("unit " + answers::printable(command.serial, 60) + " is now: " + command.to + " (" +
               command.who + ")");
    return cli::done;
}

}  // namespace padtrim
