#include "station/answers/stored_plans.hpp"

#include "recipes/language/load.hpp"

namespace padtrim::answers {

journal::Stored<language::PlanPtr> stored_plan(ledger::Reader& reader, const std::string& hash) {
    auto& kept = reader.kept_of_plan(hash);
    if (kept) return std::static_pointer_cast<const language::Plan>(kept);
    const auto text = reader.plan_text(hash);
    if (!text) return text.error();
    if (!*text) return language::PlanPtr();
    auto plan = language::read_plan(**text).plan;
    kept = plan;
    return plan;
}

}  // namespace padtrim::answers
