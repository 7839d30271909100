// Touching in looks: no more scans once the response is certain.
//
// After each equal part of the scans the distance of the response from its nearest limit, in its
// standard uncertainty, is compared with a boundary. Each look may be wrong with an equal part of
// the recipe's risk, so that all together keep it whatever the correlation between looks and
// readings (Bonferroni's bound; at four looks 6 % wider than Pocock's boundary of
// sequential_limit.hpp, and without its quadrature for every unit). Pure.
#pragma once

#include <string>

#include "db/record/observations.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::metrology {

// Whether the touch of this key needs no more scans: its response is certain at every frequency,
// with some room for the scatter that later readings may show. False where nothing can be said.
[[nodiscard]] bool touch_decided(const language::Plan& plan,
                                 const language::EquipmentRecord& references,
                                 const record::Observations& so_far, const std::string& step,
                                 const std::string& key);

}  // namespace padtrim::metrology
