#include "station/metrology/budget.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numeric>
#include <optional>
#include <vector>

#include "db/statistics/distributions.hpp"
#include "station/metrology/conformity.hpp"

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

const char* name_of(InputShape shape) {
    switch (shape) {
        case InputShape::normal:
            return "normal";
        case InputShape::rectangular:
            return "rectangular";
        case InputShape::triangular:
            return "triangular";
        case InputShape::arc_sine:
            return "arc sine";
        case InputShape::student:
            return "t";
    }
    return "";
}

namespace {

std::optional<Flaw> flaw_of(const Budget& budget) {
    if (!std::isfinite(budget.value)) return Flaw::not_finite;
    for (const BudgetTerm& term : budget.terms) {
        if (!std::isfinite(term.contribution() * term.contribution())) return Flaw::not_finite;
        if (term.standard < 0.0) return Flaw::not_positive;
        if (!(term.degrees > 0.0)) return Flaw::out_of_domain;
    }
    const auto& all = budget.correlations;
    for (auto c = all.begin(); c != all.end(); ++c) {
        if (std::max(c->first, c->second) >= budget.terms.size()) return Flaw::sizes_differ;
        if (c->first == c->second || !(std::abs(c->coefficient) <= 1.0)) return Flaw::out_of_domain;
        const bool again = std::any_of(all.begin(), c, [&](const TermCorrelation& earlier) {
            return std::minmax(earlier.first, earlier.second) == std::minmax(c->first, c->second);
        });
        if (again) return Flaw::out_of_domain;
    }
    if (!statistics::are_possible(budget.terms.size(), all)) return Flaw::out_of_domain;
    return std::nullopt;
}

double covariance_of(const Budget& budget, const TermCorrelation& c) {
    return c.coefficient * budget.terms[c.first].contribution() *
           budget.terms[c.second].contribution();
}

// The independent parts of the variance: terms that correlations connect, put together.
std::vector<VariancePart> parts_of(const Budget& budget) {
    std::vector<std::size_t> part(budget.terms.size());
    std::iota(part.begin(), part.end(), std::size_t{0});
    for (const TermCorrelation& c : budget.correlations) {
        if (c.coefficient == 0.0) continue;
        const std::size_t from = part[c.second], to = part[c.first];
        std::replace(part.begin(), part.end(), from, to);
    }
    std::vector<VariancePart> parts(budget.terms.size());
    for (std::size_t i = 0; i < budget.terms.size(); ++i) {
        const BudgetTerm& term = budget.terms[i];
        parts[part[i]].variance += term.contribution() * term.contribution();
        if (term.contribution() == 0.0) continue;
        parts[part[i]].degrees = std::min(parts[part[i]].degrees, term.degrees);
    }
    for (const TermCorrelation& c : budget.correlations) {
        parts[part[c.first]].variance += 2.0 * covariance_of(budget, c);
    }
    return parts;
}

std::string row(const BudgetTerm& term, double share, const std::string& unit) {
    char line[240];
    char degrees[24] = "inf";
    if (std::isfinite(term.degrees)) std::snprintf(degrees, sizeof degrees, "%.1f", term.degrees);
    std::snprintf(line, sizeof line, "  %-34s %10.5g %10.4g %-9s %-11s %8s %11.4g %10.4g %6.1f%%\n",
                  term.name.c_str(), term.value, term.standard,
                  (term.unit.empty() ? unit : term.unit).c_str(), name_of(term.shape), degrees,
                  term.sensitivity, std::abs(term.contribution()), share);
    return term.source.empty() ? line : line + ("    " + term.source) + "\n";
}

}  // namespace

Checked<double> welch_satterthwaite(double total, std::span<const VariancePart> parts) {
    if (!std::isfinite(total)) return Flaw::not_finite;
    if (total < 0.0) return Flaw::not_positive;
    // Shares of the total first: squares of small variances would be lost.
    double sum = 0.0;
    for (const VariancePart& part : parts) {
        if (!std::isfinite(part.variance)) return Flaw::not_finite;
        if (part.variance < 0.0) return Flaw::not_positive;
        if (!(part.degrees > 0.0)) return Flaw::out_of_domain;
        const double share = total > 0.0 ? part.variance / total : 0.0;
        sum += share * share / part.degrees;
    }
    return sum > 0.0 ? 1.0 / sum : std::numeric_limits<double>::infinity();
}

Checked<CombinedUncertainty> combine(const Budget& budget, double coverage) {
    if (const auto flaw = flaw_of(budget)) return *flaw;
    double independent = 0.0, correlated = 0.0;
    for (const BudgetTerm& term : budget.terms) {
        independent += term.contribution() * term.contribution();
    }
    for (const TermCorrelation& c : budget.correlations) {
        correlated += 2.0 * covariance_of(budget, c);
    }
    const double variance = independent + correlated;
    // Fully opposed terms may cancel to nothing, but not to less.
    if (variance < -1e-12 * independent) return Flaw::not_positive;
    CombinedUncertainty result;
    result.standard = std::sqrt(std::max(0.0, variance));
    const auto degrees = welch_satterthwaite(std::max(0.0, variance), parts_of(budget));
    if (!degrees) return degrees.error();
    result.degrees = *degrees;
    if (result.degrees < fewest_degrees) return Flaw::too_few_points;
    const auto k = statistics::coverage_factor(coverage, result.degrees);
    if (!k) return k.error();
    result.coverage_factor = *k;
    result.expanded = *k * result.standard;
    const double whole = variance > 0.0 ? 100.0 / variance : 0.0;
    for (const BudgetTerm& term : budget.terms) {
        result.shares.push_back(whole * term.contribution() * term.contribution());
    }
    result.correlation_share = whole * correlated;
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
    std::snprintf(line, sizeof line, "  %-34s %10s %10s %-9s %-11s %8s %11s %10s %7s\n", "term",
                  "value", "u(input)", "unit", "distributed", "degrees", "sensitivity", "u(result)",
                  "share");
    text += line;
    for (std::size_t i = 0; i < budget.terms.size(); ++i) {
        text += row(budget.terms[i], combined->shares[i], budget.unit);
    }
    if (!budget.correlations.empty()) {
        std::snprintf(line, sizeof line, "  %-34s %84.1f%%\n", "correlations",
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
