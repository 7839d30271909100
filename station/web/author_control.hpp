// What HTTP may ask of a station's author: what became of its own recipe, and letting it into
// production, taking that back, or letting it deviate. The recipe is the one that the daemon was
// started with; nobody sends one.
//
// Each call gives work that may wait for the disk, for a thread of its own; it refuses what the
// records refuse.
#pragma once

#include <functional>
#include <string>

#include "station/answers/recipe_sheet.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

class AuthorControl {
  public:
    virtual ~AuthorControl() = default;
    using Sheet = std::function<journal::Stored<answers::RecipeSheet>()>;
    using Work = std::function<Decision()>;
    [[nodiscard]] virtual Sheet sheet() const = 0;
    virtual Work release(std::string who, std::string why) = 0;
    virtual Work withdraw(std::int64_t release, std::string who, std::string why) = 0;
    virtual Work permit(answers::PermitWish wish) = 0;
};

}  // namespace padtrim::web
