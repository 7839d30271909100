#include "station/main/wear.hpp"

#include <algorithm>

#include "recipes/language/load.hpp"
#include "station/answers/contact_wear.hpp"
#include "station/answers/names.hpp"
#include "station/cli/wear_text.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/desk.hpp"
#include "station/main/output.hpp"

namespace padtrim {
namespace {

// What is missing of a replacement; "" when nothing is.
std::string missing_of(const cli::WearCommand& command) {
    if (command.who.empty()) return "Say who replaced it: --who NAME.";
    if (command.why.empty()) return "Say why, for the records: --why TEXT.";
    return answers::wrong_with_name("person", command.who);
}

int replace(const cli::WearCommand& command, const language::FixtureProfile& fixture) {
    if (const auto missing = missing_of(command); !missing.empty())
        return complain({cli::bad_input, missing});
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
    const auto text = language::read_text(command.fixture);
    if (!text.value) return complain({cli::bad_input, document::text_of(text.diagnostics)});
    const auto profile = language::read_fixture_profile(*text.value, command.fixture);
    if (!profile.value) return complain({cli::bad_input, document::text_of(profile.diagnostics)});
    if (!command.replaced.empty())
        if (const int code = replace(command, *profile.value)) return code;
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    const auto answer = answers::wear_in(**reader, *profile.value, command.station);
    if (!answer) return give_up(answer.error());
    if (command.json)
        print_line(answers::text_of(answers::to_json(*answer)));
    else
        print_lines(cli::wear_text(*answer, command.all, paper_of_stdout()));
    return answer->warnings.empty() ? cli::done : cli::some_did_not_pass;
}

}  // namespace padtrim
