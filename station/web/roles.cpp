#include "station/web/roles.hpp"

#include <array>

namespace padtrim::web {
namespace {

constexpr std::array role_names = {std::string_view("quality"), std::string_view("operator"),
                                   std::string_view("engineer"), std::string_view("administrator")};

}  // namespace

std::string_view name_of(Role role) {
    return role_names.at(static_cast<std::size_t>(role));
}

std::optional<Role> role_named(std::string_view name) {
    for (std::size_t i = 0; i < role_names.size(); ++i)
        if (role_names.at(i) == name) return static_cast<Role>(i);
    return std::nullopt;
}

bool may_call(Role role, std::string_view method, std::string_view path) {
    constexpr std::string_view accounts = "/api/accounts";
    if (path.substr(0, accounts.size()) == accounts) return role == Role::administration;
    if (path == "/api/audit" || path == "/api/quality/audit")
        return role == Role::quality || role == Role::administration;
    if (method == "GET" || role == Role::administration) return true;
    // Whoever works at the station may stop a finger that somebody moves by hand.
    constexpr std::string_view by_hand = "/api/fixture/";
    if (path.substr(0, by_hand.size()) == by_hand && path != "/api/fixture/stop")
        return role == Role::engineering;
    constexpr std::string_view recipe = "/api/recipe/";
    if (path.substr(0, recipe.size()) == recipe) return role == Role::engineering;
    constexpr std::string_view quality = "/api/quality/";
    return (path.substr(0, quality.size()) == quality) == (role == Role::quality);
}

bool may_draft(Role role) {
    return role == Role::engineering || role == Role::administration;
}

}  // namespace padtrim::web
