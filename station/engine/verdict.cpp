#include "station/engine/verdict.hpp"

#include <variant>

#include "station/metrology/judge.hpp"

namespace padtrim::engine {

language::Plan measuring_only(const language::Plan& plan) {
    language::Plan measuring = plan;
    measuring.recipe.steps.clear();
    bool after_write = false;
    for (const language::Step& step : plan.recipe.steps) {
        after_write |= std::holds_alternative<language::WriteTrimsStep>(step.body);
        const bool proves = std::holds_alternative<language::PowerCycleStep>(step.body) ||
                            std::holds_alternative<language::VerifyStep>(step.body);
        const bool writes = std::holds_alternative<language::WriteTrimsStep>(step.body);
        if (!writes && !(after_write && proves)) measuring.recipe.steps.push_back(step);
    }
    return measuring;
}

record::UnitResult verdict_of(const language::Plan& plan, bool measure_only,
                              const record::Observations& seen) {
    if (!measure_only) return metrology::judge(plan, plan.fixture.equipment, seen);
    record::UnitResult result =
        metrology::judge(measuring_only(plan), plan.fixture.equipment, seen);
    if (result.disposition == record::Disposition::released) {
        result.disposition = record::Disposition::undecided;
        result.next_step = "Keep the unit: it was measured only and is not adjusted.";
    }
    result.reason = "Measured only, nothing written. " + result.reason;
    return result;
}

}  // namespace padtrim::engine
