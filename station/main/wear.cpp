#include "station/main/wear.hpp"

#include <algorithm>

#include "station/answers/contact_wear.hpp"
#include "station/cli/wear_text.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/desk.hpp"
#include "station/main/output.hpp"
#include "station/main/station_parts.hpp"

namespace padtrim {
namespace {

int replace(const cli::WearCommand& command, const language::FixtureProfile& fixture) {
    const std::string missing =
        missing_of("Say who replaced it: --who NAME.", command.who, command.why);
    if (!missing.empty()) return complain({cli::bad_input, missing});
    const auto used = answers::wear_of(fixture, {}).contacts;
    for (const std::uint16_t coil : command.replaced) {
        const auto is = [&](const auto& contact) { return contact.coil == coil; };
        if (std::any_of(used.begin(), used.end(), is)) continue;
        return complain({cli::bad_input, "The profile uses no coil " + std::to_string(coil) +
                                             ". padtrim wear without --replaced lists them."});
    }
    Desk desk;
    if (const int code = desk.open(command.records)) return code;
    const auto kept = done<void>(
        desk.context,
        desk.ledger->replace_contacts({command.station, fixture.fixture, command.replaced,
                                       command.who, command.why, desk.now}));
    return kept ? cli::done : give_up(kept.error());
}

}  // namespace

int wear(const cli::WearCommand& command) {
    const auto profile = profile_at(command.fixture);
    if (const auto* trouble = std::get_if<GivesUp>(&profile)) return complain(*trouble);
    const auto& fixture = std::get<0>(profile);
    if (!command.replaced.empty())
        if (const int code = replace(command, fixture)) return code;
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    const auto answer = answers::wear_in(**reader, fixture, command.station);
    if (!answer) return give_up(answer.error());
    if (command.json)
        print_line(answers::text_of(answers::to_json(*answer)));
    else
        print_lines(cli::wear_text(*answer, command.all, paper_of_stdout()));
    return answer->warnings.empty() ? cli::done : cli::some_did_not_pass;
}

}  // namespace padtrim
