// What changed from one document to another, in words.
//
// Documents are compared as they are written out in full (plan_text), so that a default that was
// spelt out is no change. Steps, keys and other named things are matched by their names; things
// without names by their place. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "recipes/language/plan.hpp"

namespace padtrim::language {

enum class ChangeKind {
    step_added,
    step_removed,
    step_moved,
    limit_widened,  // everything that was allowed still is
    limit_tightened,
    limit_shifted,  // wider on one side, tighter on the other
    limit_added,
    limit_removed,
    changed,  // any other value
    added,
    removed,
};
[[nodiscard]] std::string_view name_of(ChangeKind kind);

struct Change {
    ChangeKind kind = ChangeKind::changed;
    std::string document;  // "recipe", "register map", "fixture profile"
    std::string place;     // step "noise", key "power"; "" for the document itself
    std::string what;      // "limits.noise", "scans"
    std::string before, after;
    std::string sentence;  // "In step noise the limit on noise was widened: at most 5 counts, ..."
    friend bool operator==(const Change&, const Change&) = default;
};
using Changes = std::vector<Change>;

[[nodiscard]] Changes changes_between(const Recipe& before, const Recipe& after);
[[nodiscard]] Changes changes_between(const RegisterMap& before, const RegisterMap& after);
[[nodiscard]] Changes changes_between(const FixtureProfile& before, const FixtureProfile& after);
// All three.
[[nodiscard]] Changes changes_between(const Plan& before, const Plan& after);

}  // namespace padtrim::language
