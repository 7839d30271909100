#include "station/main/lot_faces.hpp"

#include <cstdlib>
#include <string_view>

#include <boost/json/object.hpp>
#include <unistd.h>

#include "station/cli/report_texts.hpp"
#include "station/main/output.hpp"

namespace padtrim {
namespace {

// What the records know of the lot already: a lot that goes on shows its whole tape.
void add_known_tape(const cli::RunCommand& command, answers::StationStatus& status) {
    const auto reader = ledger::Reader::open(command.of.records);
    if (!reader) return;
    const auto tape = answers::lot_tape(*reader.value(), command.lot);
    if (!tape) return;
    status.lot = command.lot;
    status.tape = tape.value();
}

}  // namespace

bool wants_live_view(const cli::RunCommand& command) {
    const char* term = std::getenv("TERM");
    const bool able = term && *term && std::string_view(term) != "dumb";
    return able && !command.json && !command.plain && ::isatty(STDOUT_FILENO) == 1;
}

std::shared_ptr<cli::Progress> progress_of(const cli::RunCommand& command,
                                           const language::PlanPtr& plan) {
    if (command.json) return cli::json_progress(print_line);
    if (!wants_live_view(command)) return cli::plain_progress(print_line);
    auto status = status_before(*plan, command.of.station);
    status.measure_only = command.measure_only;
    status.again = command.again;
    status.draft = command.draft;
    add_known_tape(command, status);
    const cli::Terminal terminal{STDOUT_FILENO, STDIN_FILENO, paper_of_stdout().colours};
    return cli::live_progress(plan, std::move(status), terminal);
}

boost::asio::awaitable<void> keep_drawing(std::shared_ptr<cli::Progress> progress,
                                          port::Clock& clock) {
    // Ten frames a second read as motion of the count-down and cost next to nothing.
    constexpr std::chrono::milliseconds frame_time{100};
    while (progress->draws()) {
        progress->tick(frame_time);
        co_await clock.sleep_for(frame_time);
    }
}

answers::StationStatus status_before(const language::Plan& plan, const std::string& station) {
    answers::StationStatus status;
    status.station = station;
    status.recipe = plan.recipe.name;
    status.recipe_revision = plan.recipe.revision;
    status.product = plan.recipe.product;
    for (const auto& nest : plan.fixture.nests) {
        status.nests.emplace_back();
        status.nests.back().number = nest.number;
    }
    return status;
}

void summarise(const cli::RunCommand& command, const std::string& log_file) {
    const auto reader = ledger::Reader::open(command.of.records);
    if (!reader) return;
    const auto report = answers::lot_report(*reader.value(), command.lot);
    if (!report) {
        complain({cli::station_fault, report.error().what});
        return;
    }
    if (!report.value()) return;
    if (report.value()->tape.empty() && !command.json) return;  // nothing came: the lines said so
    if (command.json) {
        print_line(
            answers::text_of(boost::json::object{{"report", answers::to_json(*report.value())}}));
        return;
    }
    const cli::Whereabouts where{command.of.records, log_file, command.program};
    print_lines(cli::summary_text(*report.value(), where, paper_of_stdout()));
}

int exit_of(const record::LotCount& count) {
    return count.pass == count.loaded ? cli::done : cli::some_did_not_pass;
}

}  // namespace padtrim
