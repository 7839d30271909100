// Kinds of control charts and run rules as they are typed.
#include <array>

#include "station/answers/control_answer.hpp"

namespace padtrim::answers {
namespace {

using quality::RunRule;

constexpr std::array<std::string_view, 7> kind_names = {
    "individuals", "means-and-ranges", "means-and-deviations", "weighted", "sums",
    "share",       "occurrences"};
constexpr std::array<std::string_view, quality::run_rule_count> rule_names = {
    "beyond-limits", "eight-on-one-side", "nine-on-one-side", "six-steady",  "fourteen-alternating",
    "two-of-three",  "four-of-five",      "fifteen-within",   "eight-beyond"};

template <std::size_t n>
std::vector<std::string> list_of(const std::array<std::string_view, n>& names) {
    return {names.begin(), names.end()};
}

}  // namespace

std::string_view name_of(ControlKind kind) {
    return kind_names[static_cast<std::size_t>(kind)];
}

std::optional<ControlKind> control_kind_of(std::string_view name) {
    for (std::size_t i = 0; i < kind_names.size(); ++i)
        if (kind_names[i] == name) return static_cast<ControlKind>(i);
    return std::nullopt;
}

std::vector<std::string> control_kind_names() {
    return list_of(kind_names);
}

std::string_view typed_name_of(RunRule rule) {
    return rule_names[static_cast<std::size_t>(rule)];
}

std::optional<RunRule> run_rule_of(std::string_view typed) {
    for (std::size_t i = 0; i < rule_names.size(); ++i)
        if (rule_names[i] == typed) return static_cast<RunRule>(i);
    return std::nullopt;
}

std::vector<std::string> run_rule_names() {
    return list_of(rule_names);
}

}  // namespace padtrim::answers
