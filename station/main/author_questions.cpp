#include "station/main/author_questions.hpp"

#include <algorithm>

#include <boost/asio/io_context.hpp>
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <unistd.h>

#include "fixtures/serial/clocks.hpp"
#include "recipes/language/load.hpp"
#include "station/answers/documents_check.hpp"
#include "station/answers/limit_proposals.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/rejudge.hpp"
#include "station/answers/times.hpp"
#include "station/answers/unit_header.hpp"
#include "station/cli/author_texts.hpp"
#include "station/cli/screen.hpp"
#include "station/main/output.hpp"

namespace padtrim {
namespace {

using std::chrono::duration_cast;
using std::chrono::milliseconds;

// A bar on stderr while a question goes over many runs; nothing where stderr is no terminal.
class Bar {
  public:
    explicit Bar(const char* noun) : noun_(noun), begun_(clock_.now()) {}
    ~Bar() {
        if (drawn_) std::fputs("\r\033[K", stderr);
    }
    Bar(const Bar&) = delete;
    Bar& operator=(const Bar&) = delete;

    void show(std::size_t done, std::size_t total) {
        const auto now = clock_.now();
        if (!terminal_ || now - last_ < milliseconds(100)) return;
        last_ = now;
        drawn_ = true;
        const std::size_t width = cli::terminal_size(STDERR_FILENO).columns;
        const auto bar =
            cli::progress_bar(done, total, noun_, duration_cast<milliseconds>(now - begun_),
                              width > 1 ? width - 1 : 79);
        std::fprintf(stderr, "\r%s", bar.c_str());
        std::fflush(stderr);
    }

  private:
    boost::asio::io_context context_;
    serial::SteadyClock clock_{context_.get_executor()};
    const char* noun_;
    port::Instant begun_, last_ = begun_;
    bool terminal_ = ::isatty(STDERR_FILENO) == 1;
    bool drawn_ = false;
};

// The filter that was typed, or what is wrong with its times.
struct Typed {
    ledger::RunFilter filter;
    std::string problem;
};
Typed filter_of(const cli::RunsWish& of) {
    Typed typed;
    typed.filter.lot = of.lot;
    typed.filter.recipe = of.recipe;
    typed.filter.station = of.station;
    typed.filter.measure_only = of.measure_only;
    typed.filter.released = of.released;
    if (!of.since.empty()) typed.filter.since = answers::moment_of(of.since);
    if (!of.until.empty()) typed.filter.until = answers::end_of(of.until);
    const bool good =
        (of.since.empty() || typed.filter.since) && (of.until.empty() || typed.filter.until);
    if (!good) {
        typed.problem = "'" + (typed.filter.since || of.since.empty() ? of.until : of.since) +
                        "' is no time. Write 2026-03-31, or 2026-03-31T08:15 (UTC).";
    }
    return typed;
}

// The recipe to judge by, or what is wrong with it.
std::vector<document::Diagnostic> judge_by(const std::string& path, answers::RejudgeWish& wish) {
    const auto text = language::read_text(path);
    if (!text.value) return text.diagnostics;
    auto recipe = language::read_recipe(*text.value, path, &language::text_of_file);
    wish.recipe = std::move(recipe.value);
    wish.misfits = [path, text = *text.value](const language::Plan& plan) {
        return language::misfits(text, path, &language::text_of_file, plan);
    };
    return recipe.diagnostics;
}

// Why a recipe could judge no run at all; "" when it did, or when there is none.
std::string judged_nothing(const answers::Rejudged& answer, const answers::RejudgeWish& wish) {
    if (!wish.recipe || answer.runs > 0 || answer.other_product + answer.unfit == 0) return "";
    if (answer.unfit > 0) {
        return document::text_of(answer.misfits) +
               "\nNo stored run has what this recipe asks for, so it judges none of them.";
    }
    return "The recipe is for product " + answers::printable(wish.recipe->product, 60) +
           ", and no stored run that was asked for is of it. Leave the recipe out to judge each "
           "run by its own.";
}

}  // namespace

int give_up(const std::vector<document::Diagnostic>& diagnostics, bool json) {
    if (json) {
        boost::json::array list;
        for (const auto& diagnostic : diagnostics) list.push_back(answers::to_json(diagnostic));
        print_line(answers::text_of(boost::json::object{{"diagnostics", std::move(list)}}));
    }
    return complain({cli::bad_input, document::text_of(diagnostics)});
}

int give_up(const journal::StoreFault& fault) {
    const bool held = fault.kind == journal::StoreFaultKind::locked ||
                      fault.kind == journal::StoreFaultKind::full;
    return complain({held ? cli::station_fault : cli::bad_input, fault.what});
}

int answer(const cli::HeaderCommand& command) {
    const auto made = answers::unit_header(command.map, command.name);
    if (!made.header) return give_up(made.diagnostics, command.json);
    print_line(command.json ? answers::text_of(answers::to_json(*made.header))
                            : made.header->text.substr(0, made.header->text.size() - 1));
    return cli::done;
}

int answer(const cli::RejudgeCommand& command) {
    const Typed typed = filter_of(command.of);
    if (!typed.problem.empty()) return complain({cli::bad_input, typed.problem});
    answers::RejudgeWish wish;
    wish.filter = typed.filter;
    if (!command.recipe.empty()) {
        const auto wrong = judge_by(command.recipe, wish);
        if (!wish.recipe || !wrong.empty()) return give_up(wrong, command.json);
    }
    const auto reader = ledger::Reader::open(command.of.records, ledger::Pages::mapped);
    if (!reader) return give_up(reader.error());
    const auto judged = [&] {
        Bar bar("runs");
        return answers::rejudge(*reader.value(), wish, [&](std::size_t done, std::size_t total) {
            bar.show(done, total);
        });
    }();
    if (!judged) return give_up(judged.error());
    if (command.json) print_line(answers::text_of(answers::to_json(*judged)));
    const std::string nothing = judged_nothing(*judged, wish);
    if (!nothing.empty()) return complain({cli::bad_input, nothing});
    if (!command.json) {
        print_lines(cli::rejudge_text(*judged, paper_of_stdout(),
                                      command.all ? cli::Checks::all : cli::Checks::worst));
    }
    return judged->unexplained == 0 ? cli::done : cli::some_did_not_pass;
}

int answer(const cli::LimitsCommand& command) {
    const Typed typed = filter_of(command.of);
    if (!typed.problem.empty()) return complain({cli::bad_input, typed.problem});
    const auto reader = ledger::Reader::open(command.of.records, ledger::Pages::mapped);
    if (!reader) return give_up(reader.error());
    answers::ProposalWish wish;
    wish.filter = typed.filter;
    wish.checks = command.checks;
    wish.aim = {command.content, command.confidence};
    const auto proposals = answers::propose_limits(*reader.value(), wish);
    if (!proposals) return give_up(proposals.error());
    for (const auto& name : command.checks) {
        const auto named = [&](const auto& line) { return line.check == name; };
        if (std::any_of(proposals->checks.begin(), proposals->checks.end(), named)) continue;
        return complain(
            {cli::bad_input, "No stored run has a measured check '" + name +
                                 "'. padtrim limits without a name lists those there are."});
    }
    if (command.json) {
        print_line(answers::text_of(answers::to_json(*proposals)));
    } else {
        print_lines(cli::limits_text(*proposals, paper_of_stdout(), command.keys));
    }
    return cli::done;
}

}  // namespace padtrim
