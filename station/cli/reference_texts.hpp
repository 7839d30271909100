// A characterisation as text and as JSON: what was found, and what changed since the last one.
// Pure. Values in pF, uncertainties expanded.
#pragma once

#include <boost/json/value.hpp>

#include "station/cli/report_texts.hpp"
#include "station/metrology/characterisation.hpp"

namespace padtrim::cli {

[[nodiscard]] Lines reference_lines(const metrology::Characterisation& found,
                                    const std::vector<metrology::StepChange>& changes);
[[nodiscard]] boost::json::value reference_json(const metrology::Characterisation& found,
                                                const std::vector<metrology::StepChange>& changes);

}  // namespace padtrim::cli
