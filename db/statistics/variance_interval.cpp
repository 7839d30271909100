#include "db/statistics/variance_interval.hpp"

#include <algorithm>
#include <vector>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {

namespace {

// A weighted mean square with the relative distance of its own bounds.
struct Term {
    double value = 0.0;  // |weight| times mean square
    double degrees = 0.0;
    double below = 0.0, above = 0.0;  // G and H of the papers
    bool negative = false;
};

Checked<Term> term_of(const WeightedSquare& square, double tail) {
    if (!std::isfinite(square.weight) || !std::isfinite(square.mean_square))
        return Flaw::not_finite;
    if (!(square.mean_square >= 0.0) || !(square.degrees > 0.0)) return Flaw::not_positive;
    const auto upper = chi_squared_quantile(1.0 - tail, square.degrees);
    const auto lower = chi_squared_quantile(tail, square.degrees);
    if (!upper || !lower) return Flaw::out_of_domain;
    return Term{std::abs(square.weight) * square.mean_square, square.degrees,
                1.0 - square.degrees / *upper, square.degrees / *lower - 1.0, square.weight < 0.0};
}

double square_of(double x) {
    return x * x;
}

// What a positive and a negative term add together; the products are subtracted, for the weights'
// signs differ.
Checked<double> crossed(const Term& positive, const Term& negative, double tail, bool lower) {
    const auto f = fisher_quantile(lower ? 1.0 - tail : tail, positive.degrees, negative.degrees);
    if (!f) return f.error();
    const double own = lower ? positive.below : positive.above;
    const double other = lower ? negative.above : negative.below;
    const double factor = (square_of(*f - 1.0) - square_of(own * *f) - square_of(other)) / *f;
    return -factor * positive.value * negative.value;
}

Checked<double> half_width(const std::vector<Term>& terms, double tail, bool lower) {
    double sum = 0.0;
    for (const Term& term : terms) {
        const double distance = term.negative == lower ? term.above : term.below;
        sum += square_of(distance * term.value);
        if (term.negative) continue;
        for (const Term& other : terms) {
            if (!other.negative) continue;
            const auto both = crossed(term, other, tail, lower);
            if (!both) return both.error();
            sum += *both;
        }
    }
    return std::sqrt(std::max(0.0, sum));
}

}  // namespace

Checked<VarianceInterval> variance_interval(std::span<const WeightedSquare> squares,
                                            double coverage) {
    if (squares.empty()) return Flaw::too_few_points;
    if (!(coverage > 0.0 && coverage < 1.0)) return Flaw::out_of_domain;
    const double tail = (1.0 - coverage) / 2.0;
    std::vector<Term> terms;
    VarianceInterval interval;
    for (const WeightedSquare& square : squares) {
        const auto term = term_of(square, tail);
        if (!term) return term.error();
        interval.estimate += term->negative ? -term->value : term->value;
        terms.push_back(*term);
    }
    const auto down = half_width(terms, tail, true), up = half_width(terms, tail, false);
    if (!down) return down.error();
    if (!up) return up.error();
    interval.low = std::max(0.0, interval.estimate - *down);
    interval.high = std::max(0.0, interval.estimate + *up);
    if (!std::isfinite(interval.high)) return Flaw::not_finite;
    return interval;
}

}  // namespace padtrim::statistics
