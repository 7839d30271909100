#include "station/main/teach.hpp"

#include <unistd.h>

#include "recipes/language/load.hpp"
#include "station/answers/documents_check.hpp"
#include "station/main/output.hpp"
#include "station/main/teach_session.hpp"

namespace padtrim {

int teach(const cli::TeachCommand& command) {
    if (const auto problem = wrong_with_target(command.out, command.write, command.fixture);
        !problem.empty())
        return complain({cli::bad_input, problem});
    const auto check = answers::check_documents({command.unit, command.fixture});
    if (!check.good()) return complain({cli::bad_input, document::text_of(check.diagnostics)});
    const auto text = language::text_of_file(command.fixture).value_or("");
    auto fixture = language::read_fixture_profile(text, command.fixture);
    auto map = language::read_register_map(language::text_of_file(command.unit).value_or(""),
                                           command.unit);
    if (!map.value || !fixture.value)
        return complain({cli::bad_input,
                         "--unit wants a register map and --fixture a fixture profile. Were they "
                         "exchanged?"});
    if (fixture.value->nest(command.nest) == nullptr)
        return complain({cli::bad_input,
                         command.fixture + " has no nest " + std::to_string(command.nest) + "."});
    if (!fixture.value->finger)
        return complain({cli::bad_input, command.fixture + " has no [finger] to teach."});
    if (fixture.value->finger->stop.empty())
        return complain(
            {cli::bad_input,
             command.fixture +
                 " has no finger.stop: neither the word nor a lease that runs out could "
                 "end a way. Add stop, with discard or resume."});
    // A file or a pipe sees no hands in the fixture.
    if (!::isatty(STDIN_FILENO))
        return complain({cli::bad_input,
                         "teach moves the finger at the word of a person who sees it. Type the "
                         "words at a terminal; standard input is none."});
    TeachSession session(command, text,
                         language::make_plan({}, std::move(*map.value), std::move(*fixture.value)));
    return session.run();
}

}  // namespace padtrim
