#include "station/main/dispose.hpp"

#include "db/ledger/reader.hpp"
#include "fixtures/serial/clocks.hpp"
#include "station/answers/dispositions.hpp"
#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/main/ledger_act.hpp"
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
    if (const auto wrong = answers::wrong_with_signature(command.who, command.why); !wrong.empty())
        return complain({cli::bad_input, wrong});
    const auto run = run_to_decide(command);
    if (const auto* trouble = std::get_if<GivesUp>(&run)) return complain(*trouble);
    const auto kept = done_in_ledger<void>(command.records, [&](ledger::Ledger& ledger) {
        return ledger.decide(std::get<0>(run), answers::decision_named(command.to).value(),
                             command.who, answers::printable(command.why, 2000),
                             serial::SystemWallClock().now());
    });
    if (!kept) return complain(refusal_of(kept.error()));
    print_line("unit " + answers::printable(command.serial, 60) + " is now: " + command.to + " (" +
               command.who + ")");
    return cli::done;
}

}  // namespace padtrim
