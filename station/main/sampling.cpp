#include "station/main/sampling.hpp"

#include <algorithm>

#include "db/ledger/reader.hpp"
#include "fixtures/serial/clocks.hpp"
#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/sampling_answer.hpp"
#include "station/answers/sampling_rows.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/judge_lot.hpp"
#include "station/main/ledger_act.hpp"
#include "station/main/output.hpp"
#include "station/main/tell.hpp"

namespace padtrim {
namespace {

using Standings = std::vector<answers::SamplingStanding>;

int refuse(std::string sentence) {
    return complain({cli::bad_input, std::move(sentence)});
}

std::string unsigned_act(const cli::SamplingCommand& command, bool with_reason) {
    if (with_reason) return answers::wrong_with_signature(command.who, command.why);
    return answers::wrong_with_name("person (--who)", command.who);
}

int tell_sampling(const cli::SamplingCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    const auto told = answers::sampling_answer(**reader, command.product, command.step);
    if (!told) return give_up(told.error());
    if (command.csv)
        print_csv(answers::sampling_rows(*told));
    else
        tell(answers::to_json(*told), answers::sheet_of(*told), face_of(command.json, false));
    return cli::done;
}

std::string why_no_new_plan(const cli::SamplingCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return reader.error().what;
    const auto plans = answers::sampling_answer(**reader, command.product, command.step);
    if (!plans) return plans.error().what;
    for (const auto& standing : *plans)
        if (auto no = answers::why_not_replaced(standing.plan); !no.empty()) return no;
    return "";
}

int set_plan(const cli::SamplingCommand& command) {
    std::string wrong = unsigned_act(command, true);
    if (wrong.empty() && (answers::blank(command.product) || answers::blank(command.step)))
        wrong = "A sampling plan is of one product's step: give --product and --step.";
    if (wrong.empty() && !answers::is_quality_limit(command.quality_limit))
        wrong = answers::quality_limits_words();
    if (wrong.empty()) wrong = why_no_new_plan(command);
    if (!wrong.empty()) return refuse(wrong);
    record::SamplingPlan plan;
    plan.product = command.product;
    plan.step = command.step;
    plan.level = command.level;
    plan.quality_limit = command.quality_limit;
    plan.at = serial::SystemWallClock().now();
    plan.who = command.who;
    plan.why = answers::printable(command.why, 2000);
    const auto kept = done_in_ledger<std::int64_t>(
        command.records, [&](ledger::Ledger& ledger) { return ledger.keep_sampling_plan(plan); });
    return kept ? tell_sampling(command) : give_up(kept.error());
}

int choose_units(const cli::SamplingCommand& command, const record::SamplingPlan& plan) {
    const auto lot =
        answers::lot_to_sample(plan, command.lot, *command.size, serial::SystemWallClock().now());
    if (!lot) return refuse(answers::why_no_lot(plan, lot.error()));
    const auto kept = done_in_ledger<std::int64_t>(command.records, [&](ledger::Ledger& ledger) {
        return ledger.keep_sampled_lot(plan.id, *lot);
    });
    return kept ? tell_sampling(command) : give_up(kept.error());
}

int keep_result(const cli::SamplingCommand& command, const record::SamplingPlan& plan) {
    if (const auto wrong = unsigned_act(command, false); !wrong.empty()) return refuse(wrong);
    const auto lot = std::find_if(plan.lots.begin(), plan.lots.end(),
                                  [&](const auto& each) { return each.lot == command.lot; });
    if (lot == plan.lots.end()) return refuse(answers::none_chosen_words(command.lot));
    const auto result = answers::result_of(plan, *lot, *command.found, command.who,
                                           serial::SystemWallClock().now());
    const auto kept = done_in_ledger<void>(command.records, [&](ledger::Ledger& ledger) {
        return ledger.keep_sampling_result(result);
    });
    return kept ? tell_sampling(command) : give_up(kept.error());
}

int resume_plan(const cli::SamplingCommand& command, const record::SamplingPlan& plan) {
    if (const auto wrong = unsigned_act(command, true); !wrong.empty()) return refuse(wrong);
    if (const auto no = answers::why_not_resumed(plan); !no.empty()) return refuse(no);
    const record::SamplingResumption resumption{0, serial::SystemWallClock().now(), command.who,
                                                answers::printable(command.why, 2000)};
    const auto kept = done_in_ledger<void>(command.records, [&](ledger::Ledger& ledger) {
        return ledger.resume_sampling(plan.id, resumption);
    });
    return kept ? tell_sampling(command) : give_up(kept.error());
}

}  // namespace

int sampling(const cli::SamplingCommand& command) {
    if (!command.judged_lot.empty()) return judge_lot(command);
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    if (command.set) return set_plan(command);
    if (!command.size && !command.found && !command.resume) return tell_sampling(command);
    const auto plans = answers::sampling_answer(**reader, command.product, command.step);
    if (!plans) return give_up(plans.error());
    if (plans->size() != 1)
        return refuse(plans->empty() ? "No sampling plan answers to that: padtrim sampling --set."
                                     : "Several plans answer to that: give --product and --step.");
    const auto& plan = plans->front().plan;
    if (command.resume) return resume_plan(command, plan);
    return command.size ? choose_units(command, plan) : keep_result(command, plan);
}

}  // namespace padtrim
