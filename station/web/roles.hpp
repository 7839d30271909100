// Who may do what. Pure.
//
// Everybody reads everything; what changes something belongs to
//   quality        decisions about units, replies to alarms, charts kept with a recipe
//   operator       lots, shift checks, aborts, faults
//   engineer       the operator's, drafts and plans of their own, work by hand on the fixture, and
//                  releases and permits
//   administrator  all of these, and logins
//
// The audit, which tells of people, is for quality and administrator alone.
#pragma once

#include <optional>
#include <string_view>

namespace padtrim::web {

enum class Role { quality, operating, engineering, administration };

[[nodiscard]] std::string_view name_of(Role role);
[[nodiscard]] std::optional<Role> role_named(std::string_view name);

// Whether a call of this method and path is for this role.
[[nodiscard]] bool may_call(Role role, std::string_view method, std::string_view path);
// Plans that nobody released.
[[nodiscard]] bool may_draft(Role role);

}  // namespace padtrim::web
