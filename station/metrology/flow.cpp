#include "station/metrology/flow.hpp"

namespace padtrim::metrology {

namespace {

bool holds(language::Was was, record::Verdict verdict) {
    switch (was) {
        case language::Was::pass:
            return verdict == record::Verdict::pass;
        case language::Was::fail:
            return verdict == record::Verdict::fail;
        case language::Was::inconclusive:
            return verdict == record::Verdict::inconclusive;
        case language::Was::not_pass:
            return verdict != record::Verdict::pass;
    }
    return false;
}

}  // namespace

bool applies(const language::Recipe& recipe, const StepEnds& ends) {
    if (ends.size() >= recipe.steps.size()) return false;
    const auto& condition = recipe.steps[ends.size()].only_if;
    if (!condition) return true;
    for (std::size_t i = 0; i < ends.size(); ++i)
        if (recipe.steps[i].name == condition->step)
            return ends[i] && holds(condition->was, *ends[i]);
    return false;
}

}  // namespace padtrim::metrology
