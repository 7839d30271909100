#include "station/metrology/parts.hpp"

#include <array>
#include <cmath>
#include <utility>

namespace padtrim::metrology {

Measured measured_of(double value, std::span<const Part> parts) {
    std::array<VariancePart, 8> variances;
    double sum = 0.0;
    std::size_t used = 0;
    for (const Part& part : parts) {
        const double contribution = part.sensitivity * part.standard;
        const double variance = contribution * contribution;
        sum += variance;
        // What is known exactly has no part in the degrees.
        if (variance > 0.0 && std::isfinite(part.degrees))
            variances.at(used++) = {variance, part.degrees};
    }
    const auto degrees = welch_satterthwaite(sum, std::span(variances).first(used));
    return {value, std::sqrt(sum), degrees ? *degrees : std::numeric_limits<double>::infinity()};
}

Budget budget_of(std::string quantity, std::string unit, double value,
                 std::span<const Part> parts) {
    Budget budget{std::move(quantity), std::move(unit), value, {}, {}};
    for (const Part& part : parts) {
        if (part.standard == 0.0) continue;
        BudgetTerm term{part.name, part.standard, part.sensitivity, part.degrees, part.evaluation};
        term.shape = part.shape;
        term.value = part.value;
        term.unit = part.unit;
        budget.terms.push_back(std::move(term));
    }
    return budget;
}

}  // namespace padtrim::metrology
