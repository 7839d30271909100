#include "db/record/shift_check.hpp"

namespace padtrim::record {

std::string_view name_of(ChartState state) {
    constexpr std::string_view names[] = {"learning", "within", "beyond"};
    return names[static_cast<std::size_t>(state)];
}

std::string_view name_of(CheckDecision decision) {
    return decision == CheckDecision::ready ? "ready" : "blocked";
}

std::string_view name_of(Readiness readiness) {
    constexpr std::string_view names[] = {"unwatched", "ready", "needs check", "blocked"};
    return names[static_cast<std::size_t>(readiness)];
}

}  // namespace padtrim::record
