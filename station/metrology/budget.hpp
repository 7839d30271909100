// An uncertainty budget to JCGM 100: terms, sensitivities, correlations, effective degrees.
//
// Pure. Contributions of one budget share the unit of the result; a term's own unit is written
// beside it. Type A terms were evaluated from readings, type B ones from other knowledge.
#pragma once

#include <limits>
#include <span>
#include <string>
#include <vector>

#include "db/statistics/correlation_matrix.hpp"
#include "db/statistics/flaw.hpp"

namespace padtrim::metrology {

enum class Evaluation { type_a, type_b };

// How what is known of an input is distributed (JCGM 101 clause 6).
enum class InputShape { normal, rectangular, triangular, arc_sine, student };
[[nodiscard]] const char* name_of(InputShape shape);

struct BudgetTerm {
    std::string name;
    double standard = 0.0;     // standard uncertainty of the input, in its own unit
    double sensitivity = 1.0;  // result per input
    double degrees = std::numeric_limits<double>::infinity();
    Evaluation evaluation = Evaluation::type_b;
    InputShape shape = InputShape::normal;
    double value = 0.0;       // of the input, in its own unit
    std::string unit = {};    // the input's own; "" where it is the result's
    std::string source = {};  // where it is from: certificate, U and k, a sensor; "" for this run
    [[nodiscard]] double contribution() const { return sensitivity * standard; }
};

// Correlation coefficient of two terms, by their place in the list.
using TermCorrelation = statistics::PairCorrelation;

struct Budget {
    std::string quantity, unit;
    double value = 0.0;
    std::vector<BudgetTerm> terms;
    std::vector<TermCorrelation> correlations;
};

struct CombinedUncertainty {
    double standard = 0.0;
    double degrees = std::numeric_limits<double>::infinity();
    double coverage_factor = 2.0;
    double expanded = 0.0;
    // Part of the variance of each term, in percent; correlations make the rest.
    std::vector<double> shares;
    double correlation_share = 0.0;
};
// Effective degrees of a variance that is the sum of independent parts (JCGM 100 equation G.2b,
// not truncated); infinite when every part is known. Flaws: not_finite, not_positive (a variance),
// out_of_domain (degrees that are no positive number).
struct VariancePart {
    double variance = 0.0;
    double degrees = std::numeric_limits<double>::infinity();
};
[[nodiscard]] statistics::Checked<double> welch_satterthwaite(double total,
                                                              std::span<const VariancePart> parts);

// JCGM 100 5.1, 5.2 and G.4. Welch-Satterthwaite needs independent parts: terms that are correlated
// with one another make one part, which has the degrees of its least known term.
// Flaws: not_finite, not_positive (a negative uncertainty; a negative variance by correlation),
// out_of_domain (a correlation beyond 1, of a term with itself or told twice; degrees of 0),
// too_few_points (less than one effective degree).
[[nodiscard]] statistics::Checked<CombinedUncertainty> combine(const Budget& budget,
                                                               double coverage = 0.95);

// The budget as a table in characters: one line a term, shares in percent, the sum below; a term's
// source stands under it.
[[nodiscard]] std::string budget_text(const Budget& budget, double coverage = 0.95);

// Standard uncertainties of inputs that are only known to lie within +- half_width (JCGM 100 4.3.7,
// 4.3.9; JCGM 101 6.4.6 for the arc sine).
[[nodiscard]] double rectangular(double half_width);
[[nodiscard]] double triangular(double half_width);
[[nodiscard]] double arc_sine(double half_width);

}  // namespace padtrim::metrology
