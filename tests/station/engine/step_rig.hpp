// One unit through a recipe of a few steps on the virtual bench: what a step observes and what it
// is judged to.
#pragma once

#include <gtest/gtest.h>

#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::engine::testing {

// The demo product and fixture with `identify` and these steps.
[[nodiscard]] inline language::Plan plan_of(std::vector<language::Step> steps,
                                            const test_support::DemoFixture& fixture = {}) {
    language::Plan plan = *test_support::demo_plan(fixture);
    plan.recipe.steps.erase(plan.recipe.steps.begin() + 1, plan.recipe.steps.end());
    for (language::Step& step : steps) plan.recipe.steps.push_back(std::move(step));
    return plan;
}
template <class Body>
[[nodiscard]] language::Step step_of(std::string name, Body body) {
    language::Step step;
    step.name = std::move(name);
    step.body = std::move(body);
    return step;
}

// An answer for every question; none at all leaves them open.
class Answering final : public Person {
  public:
    explicit Answering(port::Clock& clock, std::optional<bool> answer)
        : clock_(clock), answer_(answer) {}
    boost::asio::awaitable<std::optional<bool>> ask(const Question& question) override {
        asked.push_back(question);
        if (on_question) on_question(question);
        if (!answer_) co_await clock_.sleep_for(std::chrono::hours(24));
        co_await clock_.sleep_for(std::chrono::seconds(3));
        co_return answer_;
    }
    std::vector<Question> asked;
    std::function<void(const Question&)> on_question;

  private:
    port::Clock& clock_;
    std::optional<bool> answer_;
};

// Runs one unit and gives its record.
class OneUnit {
  public:
    explicit OneUnit(language::Plan plan, bench::BenchOptions how = {})
        : rig(std::make_shared<const language::Plan>(std::move(plan)), one(std::move(how))) {}

    const record::UnitRecord& run() {
        outcome = rig.run();
        const auto* run = rig.last_run(1U);
        if (run == nullptr || !run->unit) throw std::runtime_error("no run: " + outcome.reason);
        return *run->unit;
    }
    [[nodiscard]] static std::vector<record::CheckResult> checks(const record::UnitRecord& unit,
                                                                 const std::string& name) {
        std::vector<record::CheckResult> found;
        for (const auto& check : unit.result.checks)
            if (check.check == name) found.push_back(check);
        return found;
    }

    BenchRig rig;
    LotOutcome outcome;

  private:
    static bench::BenchOptions one(bench::BenchOptions how) {
        how.units = 1;
        return how;
    }
};

}  // namespace padtrim::engine::testing
