#include "station/main/judge_lot.hpp"

#include "station/answers/printable.hpp"
#include "station/answers/quality_wish.hpp"
#include "station/answers/variables_answer.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/output.hpp"
#include "station/main/tell.hpp"

namespace padtrim {
namespace {

// With k as said, or from the two risks: "" or what is wrong with them.
std::string make_plan(const cli::SamplingCommand& command, answers::VariablesWish& wish) {
    if (command.k) {
        wish.plan.k = *command.k;
        return "";
    }
    wish.risks = {command.good / 100.0, command.producers_risk / 100.0, command.bad / 100.0,
                  command.consumers_risk / 100.0};
    const auto plan = statistics::variables_plan_for(*wish.risks);
    if (plan) {
        wish.plan = *plan;
        return "";
    }
    return plan.error() == statistics::Flaw::no_convergence
               ? "--good and --bad are so close that no plan of 10000 values tells them apart."
               : "--good has to be below --bad, and all of them between 0 and 100 %.";
}

}  // namespace

int judge_lot(const cli::SamplingCommand& command) {
    answers::VariablesWish wish;
    const std::string wrong = make_plan(command, wish);
    if (!wrong.empty()) return complain({cli::bad_input, wrong});
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    answers::QualityWords words;
    words.lot = command.judged_lot;
    words.check = command.check;
    words.key = command.key;
    const auto read = answers::read_wish(**reader, words);
    if (!read) return give_up(read.error());
    if (!read->problem.empty()) return complain({cli::bad_input, read->problem});
    wish.values = answers::values_of(
        read->wish, command.as_left ? record::Stage::as_left : record::Stage::as_found);
    const auto judged = answers::variables_answer(**reader, wish);
    if (!judged) return give_up(judged.error());
    if (judged->places.empty())
        return complain({cli::bad_input, "Lot '" + answers::printable(command.judged_lot, 60) +
                                             "' has no value of check '" +
                                             answers::printable(command.check, 60) +
                                             "'. padtrim capability lists them."});
    tell(answers::to_json(*judged), answers::sheet_of(*judged), face_of(command.json, command.csv));
    return judged->accepted() ? int{cli::done} : int{cli::some_did_not_pass};
}

}  // namespace padtrim
