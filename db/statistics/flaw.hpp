// Why a statistic could not be computed: a named flaw of the input instead of a number.
//
// Plain values, thread safe. Functions of this room return Checked<T>; asking a flaw for its value
// is a programming error and throws std::logic_error.
#pragma once

#include <cmath>
#include <cstddef>
#include <span>
#include <string_view>

#include <boost/system/result.hpp>

namespace padtrim::statistics {

enum class Flaw {
    not_finite,         // a NaN or an infinity among the inputs
    too_few_points,     // fewer than the result needs
    equal_abscissae,    // a line through one place
    not_positive,       // a weight, variance or covariance matrix that is not positive
    not_symmetric,      // a covariance matrix that differs from its transpose
    dependent_columns,  // unknowns that the data cannot tell apart
    empty_interval,     // low above high, or no room between them
    out_of_domain,      // a probability outside (0, 1), degrees of freedom of 0, ...
    sizes_differ,       // lists that belong together and are not equally long
    no_convergence,     // an iteration that did not settle
};
[[nodiscard]] std::string_view text_of(Flaw flaw);

template <class T>
using Checked = boost::system::result<T, Flaw>;

[[noreturn]] void throw_exception_from_error(const Flaw& flaw, const boost::source_location& where);

[[nodiscard]] inline bool all_finite(std::span<const double> values) {
    for (const double value : values) {
        if (!std::isfinite(value)) return false;
    }
    return true;
}

// Of n rows, but for rounding.
[[nodiscard]] bool symmetric(std::span<const double> matrix, std::size_t n);

}  // namespace padtrim::statistics
