#include "db/statistics/flaw.hpp"

#include <algorithm>
#include <stdexcept>
#include <string>

namespace padtrim::statistics {

std::string_view text_of(Flaw flaw) {
    switch (flaw) {
        case Flaw::not_finite:
            return "a value is not a finite number";
        case Flaw::too_few_points:
            return "too few points";
        case Flaw::equal_abscissae:
            return "all points lie at the same abscissa";
        case Flaw::not_positive:
            return "a variance or weight is not positive";
        case Flaw::not_symmetric:
            return "the covariance matrix is not symmetric";
        case Flaw::dependent_columns:
            return "the data cannot tell the unknowns apart";
        case Flaw::empty_interval:
            return "the interval is empty";
        case Flaw::out_of_domain:
            return "an argument lies outside its domain";
        case Flaw::sizes_differ:
            return "lists that belong together differ in length";
        case Flaw::no_convergence:
            return "the iteration did not settle";
    }
    return "";
}

bool symmetric(std::span<const double> matrix, std::size_t n) {
    for (std::size_t i = 1; i < n; ++i) {
        for (std::size_t k = 0; k < i; ++k) {
            const double a = matrix[i * n + k], b = matrix[k * n + i];
            if (a == b) continue;
            if (!(std::abs(a - b) <= 1e-9 * std::max(std::abs(a), std::abs(b)))) return false;
        }
    }
    return true;
}

void throw_exception_from_error(const Flaw& flaw, const boost::source_location&) {
    throw std::logic_error("flaw taken for a value: " + std::string(text_of(flaw)));
}

}  // namespace padtrim::statistics
