// A nest that calls for help: the stop rule, and what a person answers.
#include <algorithm>

#include "station/engine/nest_run.hpp"

namespace padtrim::engine {

namespace {

const record::CheckResult* first_failed(const record::UnitResult& result) {
    const auto failed = std::find_if(result.checks.begin(), result.checks.end(), [](auto& check) {
        return check.verdict == record::Verdict::fail;
    });
    return failed == result.checks.end() ? nullptr : &*failed;
}

}  // namespace

void SameFailures::add(const record::UnitResult& result) {
    const auto* failed = result.verdict == record::Verdict::fail ? first_failed(result) : nullptr;
    if (result.verdict == record::Verdict::no_verdict) return;  // says nothing of the unit
    if (failed == nullptr) return clear();
    count = failed->check == check ? count + 1 : 1;
    check = failed->check;
    reason = result.reason;
}

void SameFailures::clear() {
    *this = {};
}

port::Task<RunEvent> NestRun::call_for_help() {
    const std::string why = std::to_string(same_.count) + " units in a row failed on " +
                            same_.check + ". The last: " + same_.reason;
    lot_.tell(NestPaused{nest_.number, "It calls for help: " + why});
    Question question;
    question.nest = nest_.number;
    question.text = "It calls for help: " + why + " Look at pins, finger and fixture. Go on?";
    std::optional<bool> answer;
    if (lot_.parts.person != nullptr) {
        lot_.tell(PersonAsked{nest_.number, "", question.text, ""});
        asking_ = true;
        answer = co_await lot_.parts.person->ask(question);
        asking_ = false;
    }
    if (answer.value_or(false)) {
        same_.clear();
        lot_.tell(NestResumed{nest_.number});
        co_return RunEvent::more;
    }
    const std::string number = std::to_string(nest_.number);
    lot_.close_nest(
        {"", "refused", "nest " + number,
         "Nest " + number + " is closed, nobody let it go on: " + why, record::Blame::fixture},
        nest_.number);
    co_return RunEvent::lot_ends;
}

}  // namespace padtrim::engine
