#include "station/main/questions.hpp"

#include "fixtures/serial/clocks.hpp"
#include "recipes/language/load.hpp"
#include "station/answers/document_schema.hpp"
#include "station/answers/plan_forecast.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/report_texts.hpp"
#include "station/main/output.hpp"

namespace padtrim {
namespace {

// Prints an answer as JSON or as text.
template <class Answer, class Text>
void print(const Answer& answer, bool json, Text text) {
    if (json) {
        print_line(answers::text_of(answers::to_json(answer)));
    } else {
        print_lines(text(answer, paper_of_stdout()));
    }
}

int complain_of(const journal::StoreFault& fault) {
    return complain({cli::bad_input, fault.what});
}

// Of the newest run: an older one is on other trims, or of another unit under the same label.
int answer_in_full(const cli::UnitCommand& command, const answers::UnitHistory& history) {
    const auto& newest = history.runs.back();
    if (newest.plan && command.channel && *command.channel >= newest.plan->map.channels) {
        return complain({cli::bad_input, "The unit has no channel " +
                                             std::to_string(*command.channel) + ". Its last is " +
                                             std::to_string(newest.plan->map.channels - 1) + "."});
    }
    const answers::DetailsWish wish{command.channel, command.monte_carlo ? command.trials : 0};
    const auto details = answers::unit_details(newest, wish);
    print(details, command.json, [&](const auto& answer, const cli::Paper& paper) {
        return cli::details_text(answer, newest, paper);
    });
    return cli::done;
}

}  // namespace

int answer(const cli::CheckCommand& command) {
    const auto check = answers::check_documents(command.files, serial::SystemWallClock().now());
    print(check, command.json, cli::check_text);
    return check.good() ? cli::done : cli::bad_input;
}

int answer(const cli::PlanCommand& command) {
    const auto loaded = language::load_plan({command.recipe, command.unit, command.fixture});
    if (!loaded.plan) return complain({cli::bad_input, document::text_of(loaded.diagnostics)});
    print(answers::forecast(*loaded.plan), command.json, cli::plan_text);
    return cli::done;
}

int answer(const cli::SchemaCommand& command) {
    const auto kind = command.document == "recipe"         ? answers::DocumentKind::recipe
                      : command.document == "register-map" ? answers::DocumentKind::register_map
                                                           : answers::DocumentKind::fixture_profile;
    print_line(answers::pretty_text(answers::document_schema(kind)));
    return cli::done;
}

int answer(const cli::UnitCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return complain_of(reader.error());
    const auto history = answers::unit_history(*reader.value(), command.serial);
    if (!history) return complain_of(history.error());
    if (history.value().runs.empty()) {
        return complain({cli::bad_input, "No unit '" + answers::printable(command.serial, 60) +
                                             "' in " + command.records +
                                             ". Check the serial; padtrim yield lists the lots."});
    }
    if (command.details || command.monte_carlo) return answer_in_full(command, history.value());
    const auto checks = command.all ? cli::Checks::all : cli::Checks::worst;
    print(history.value(), command.json, [&](const auto& answer, const cli::Paper& paper) {
        return cli::unit_text(answer, paper, checks);
    });
    return cli::done;
}

}  // namespace padtrim
