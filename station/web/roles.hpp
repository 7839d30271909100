// Who may do what. Pure.
//
//   quality        reads everything
//   operator       and runs lots and shift checks, aborts units, clears faults
//   engineer       and runs drafts and plans of their own
//   administrator  and gives and takes logins
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
