// Releasing, permitting, and what changed.
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/cli/release_texts.hpp"
#include "station/main/author_decisions.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/desk.hpp"
#include "station/main/station_parts.hpp"

namespace padtrim {
namespace {

using boost::json::array;
using boost::json::object;

int complain_of_input(std::string sentence) {
    return complain({cli::bad_input, std::move(sentence)});
}

std::string missing_of(const cli::PlanWish& of) {
    return padtrim::missing_of("Say who decides this: --who NAME.", of.who, of.why);
}

std::string missing_documents(const cli::PlanWish& of) {
    if (of.fixture.empty() || of.unit.empty()) {
        return "A plan is a recipe with a register map and a fixture profile: give --unit FILE and "
               "--fixture FILE.";
    }
    return missing_of(of);
}

Opened<language::PlanPtr> plan_of(const cli::PlanWish& of) {
    cli::StationWish wish;
    wish.recipe = of.recipe;
    wish.fixture = of.fixture;
    wish.unit = of.unit;
    return padtrim::plan_of(wish);
}

int list_releases(const cli::ReleaseCommand& command) {
    const auto reader = ledger::Reader::open(command.of.records);
    if (!reader) return give_up(reader.error());
    const auto releases = reader.value()->releases();
    if (!releases) return give_up(releases.error());
    if (command.json) {
        array list;
        for (const auto& release : *releases) list.push_back(answers::to_json(release));
        print_line(answers::text_of(object{{"releases", std::move(list)}}));
    } else {
        print_lines(cli::releases_text(*releases, paper_of_stdout()));
    }
    return cli::done;
}

int withdraw(const cli::ReleaseCommand& command) {
    const std::string missing = missing_of(command.of);
    if (!missing.empty()) return complain_of_input(missing);
    Desk desk;
    if (const int code = desk.open(command.of.records)) return code;
    auto act = desk.ledger->withdraw(*command.withdraw, command.of.who, command.of.why, desk.now);
    const auto withdrawn = done<void>(desk.context, std::move(act));
    if (!withdrawn) return give_up(withdrawn.error());
    const std::string number = std::to_string(*command.withdraw);
    print_line(command.json ? answers::text_of(object{{"withdrawn", *command.withdraw}})
                            : "Release " + number +
                                  " is withdrawn. Nothing starts on it any more; "
                                  "a lot that runs now goes on to its end.");
    return cli::done;
}

int release(const cli::ReleaseCommand& command) {
    const std::string missing = missing_documents(command.of);
    if (!missing.empty()) return complain_of_input(missing);
    const auto plan = plan_of(command.of);
    if (const auto* trouble = std::get_if<GivesUp>(&plan)) return complain(*trouble);
    Desk desk;
    if (const int code = desk.open(command.of.records)) return code;
    const auto released = done<answers::ReleaseDraft>(
        desk.context, release_plan(*desk.ledger, *desk.reader, *std::get<0>(plan), command.of.who,
                                   command.of.why, desk.now));
    if (!released) return give_up(released.error());
    const auto& draft = *released;
    if (!draft.release) return complain_of_input(draft.problem);
    if (command.json) {
        object json = answers::to_json(*draft.release).as_object();
        json["changes"] = answers::to_json(draft.changes);
        print_line(answers::text_of(json));
        return cli::done;
    }
    const auto& copy = draft.release->plan;
    print_line("Release " + std::to_string(draft.release->id) + ": recipe " + copy.recipe +
               " revision " + copy.recipe_revision + " for fixture " + copy.fixture + ", plan " +
               copy.hash.substr(0, 12) + ", by " + command.of.who + ".");
    if (draft.before) {
        print_line("Since release " + std::to_string(*draft.before) + ":");
        print_lines(cli::change_lines(draft.changes));
    }
    return cli::done;
}

int list_permits(const cli::PermitCommand& command) {
    const auto reader = ledger::Reader::open(command.of.records);
    if (!reader) return give_up(reader.error());
    const auto permits = reader.value()->permits();
    if (!permits) return give_up(permits.error());
    std::vector<cli::PermitUse> uses;
    array list;
    for (const auto& permit : *permits) {
        const auto runs = reader.value()->runs_under(permit.id);
        if (!runs) return give_up(runs.error());
        uses.push_back({permit, *runs});
        object json = answers::to_json(permit).as_object();
        array units;
        for (const auto& run : *runs) {
            units.push_back(object{{"run", run.run},
                                   {"lot", answers::text(run.lot_name)},
                                   {"serial", answers::text(run.serial)},
                                   {"verdict", run.ended ? name_of(run.verdict) : "running"}});
        }
        json["runs"] = std::move(units);
        list.push_back(std::move(json));
    }
    if (command.json) {
        print_line(answers::text_of(object{{"permits", std::move(list)}}));
    } else {
        print_lines(cli::permits_text(uses, paper_of_stdout()));
    }
    return cli::done;
}

int permit(const cli::PermitCommand& command) {
    const std::string missing = answers::blank(command.name)
                                    ? "Give the deviation a name: --name TEXT."
                                    : missing_documents(command.of);
    if (!missing.empty()) return complain_of_input(missing);
    answers::PermitWish wish{command.name, command.of.who, command.of.why, {}, command.quantity};
    if (!command.until.empty()) {
        wish.until = answers::end_of(command.until);
        if (!wish.until) {
            return complain_of_input("'" + command.until +
                                     "' is no time. Write 2026-03-31, or 2026-03-31T08:15 (UTC).");
        }
    }
    const auto plan = plan_of(command.of);
    if (const auto* trouble = std::get_if<GivesUp>(&plan)) return complain(*trouble);
    Desk desk;
    if (const int code = desk.open(command.of.records)) return code;
    const auto permitted = done<answers::PermitDraft>(
        desk.context, permit_plan(*desk.ledger, *desk.reader, *std::get<0>(plan), wish, desk.now));
    if (!permitted) return give_up(permitted.error());
    if (!permitted->permit) return complain_of_input(permitted->problem);
    if (command.json) {
        print_line(answers::text_of(answers::to_json(*permitted->permit)));
    } else {
        print_lines(cli::permits_text({{*permitted->permit, {}}}, paper_of_stdout()));
    }
    return cli::done;
}

}  // namespace

int answer(const cli::ReleaseCommand& command) {
    if (command.withdraw && !command.of.recipe.empty())
        return complain_of_input("--withdraw takes a release's number and no documents.");
    if (command.withdraw) return withdraw(command);
    return command.of.recipe.empty() ? list_releases(command) : release(command);
}

int answer(const cli::PermitCommand& command) {
    return command.of.recipe.empty() ? list_permits(command) : permit(command);
}

int answer(const cli::ChangesCommand& command) {
    std::unique_ptr<ledger::Reader> reader;
    if (!command.records.empty()) {
        auto opened = ledger::Reader::open(command.records);
        if (!opened) return give_up(opened.error());
        reader = std::move(opened.value());
    }
    const auto answer = answers::changes_of(reader.get(), command.before, command.after);
    if (!answer) return give_up(answer.error());
    if (!answer->diagnostics.empty()) return give_up(answer->diagnostics, command.json);
    if (!answer->problem.empty()) return complain_of_input(answer->problem);
    if (command.json) {
        print_line(answers::text_of(answers::to_json(*answer)));
    } else {
        print_lines(cli::changes_text(*answer, paper_of_stdout()));
    }
    return cli::done;
}

}  // namespace padtrim
