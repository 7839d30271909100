// The panel as a drawing whose keys say something: geometry from the register map. Pure.
#pragma once

#include <string>

#include "recipes/language/plan.hpp"
#include "station/answers/chart.hpp"

namespace padtrim::answers {

// Every key at its place, without a value yet. No places where the plan is null.
[[nodiscard]] PanelFigure panel_of(const language::PlanPtr& plan, std::string id,
                                   std::string title);
[[nodiscard]] PanelPlace* place_of(PanelFigure& figure, const std::string& key);

}  // namespace padtrim::answers
