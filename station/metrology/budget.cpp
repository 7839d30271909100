#include "station/metrology/budget.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "db/statistics/distributions.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

double rectangular(double half_width) {
    return half_width / std::sqrt(3.0);
}
double triangular(double half_width) {
    return half_width / std::sqrt(6.0);
}
double arc_sine(double half_width) {
    return half_width / std::sqrt(2.0);
}

namespace {

Checked<double> correlated_variance(const Budget& budget) {
    double sum = 0.0;
    for (const TermCorrelation& c : budget.correlations) {
        if (c.first >= budget.terms.size() || c.second >= budget.terms.size()) {
            return Flaw::sizes_differ;
        }
        if (!(std::abs(c.coefficient) <= 1.0)) return Flaw::out_of_domain;
        sum += 2.0 * c.coefficient * budget.terms[c.first].contribution() *
               budget.terms[c.second].contribution();
    }
    return sum;
}

std::string row(const char* format, const BudgetTerm& term, double share) {
    char line[200];
    char degrees[24] = "inf";
    if (std::isfinite(term.degrees)) std::snprintf(degrees, sizeof degrees, "%.1f", term.degrees);
    std::snprintf(line, sizeof line, format, term.name.c_str(), term.standard, term.sensitivity,
                  term.contribution(), degrees, term.evaluation == Evaluation::type_a ? "A" : "B",
                  share);
    return line;
}

}  // namespace

Checked<CombinedUncertainty> combine(const Budget& budget, double coverage) {
    double independent = 0.0, quartic = 0.0;
    for (const BudgetTerm& term : budget.terms) {
        const double v = term.contribution() * term.contribution();
        if (!std::isfinite(v)) return Flaw::not_finite;
        if (!(term.degrees > 0.0)) return Flaw::out_of_domain;
        independent += v;
        quartic += v * v / term.degrees;
    }
    const auto correlated = correlated_variance(budget);
    if (!correlated) return correlated.error();
    const double variance = independent + *correlated;
    // Fully opposed terms may cancel to nothing, but not to less.
    if (variance < -1e-12 * independent) return Flaw::not_positive;
    CombinedUncertainty result;
    result.standard = std::sqrt(std::max(0.0, variance));
    if (quartic > 0.0) result.degrees = variance * variance / quartic;
    const auto k = statistics::coverage_factor(coverage, std::max(result.degrees, 1e-3));
    if (!k) return k.error();
    result.coverage_factor = *k;
    result.expanded = *k * result.standard;
    const double whole = variance > 0.0 ? 100.0 / variance : 0.0;
    for (const BudgetTerm& term : budget.terms) {
        result.shares.push_back(whole * term.contribution() * term.contribution());
    }
    result.correlation_share = whole * *correlated;
    return result;
}

std::string budget_text(const Budget& budget, double coverage) {
    const auto combined = combine(budget, coverage);
    if (!combined) {
        return budget.quantity + ": " + std::string(statistics::text_of(combined.error())) + "\n";
    }
    char line[200];
    std::snprintf(line, sizeof line, "%s = %.6g %s\n", budget.quantity.c_str(), budget.value,
                  budget.unit.c_str());
    std::string text = line;
    std::snprintf(line, sizeof line, "  %-34s %11s %11s %11s %8s %4s %7s\n", "term", "u(input)",
                  "sensitivity", "u(result)", "degrees", "type", "share");
    text += line;
    for (std::size_t i = 0; i < budget.terms.size(); ++i) {
        text += row("  %-34s %11.4g %11.4g %11.4g %8s %4s %6.1f%%\n", budget.terms[i],
                    combined->shares[i]);
    }
    if (!budget.correlations.empty()) {
        std::snprintf(line, sizeof line, "  %-34s %61.1f%%\n", "correlations",
                      combined->correlation_share);
        text += line;
    }
    std::snprintf(
        line, sizeof line,
        "  standard %.4g %s, effective degrees %.4g, k = %.4g, expanded %.4g %s (%g %%)\n",
        combined->standard, budget.unit.c_str(), combined->degrees, combined->coverage_factor,
        combined->expanded, budget.unit.c_str(), 100.0 * coverage);
    return text + line;
}

}  // namespace padtrim::metrology
