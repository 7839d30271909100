// The straight line of one channel at one frequency, with its whole uncertainty budget.
//
//   mean of a state = a + gain * step + drift * (t - t0) + errors
//   offset          = a - gain * (fixture's part)
//
// Fitted by generalised least squares: readings scatter (correlated, effective size), whole counts
// leave a rounding in every state, each reference is wrong by its own unknown amount every time it
// is switched in. What is common to all references (meter, temperature, definition) cannot move the
// fit and is added to the covariance afterwards. t0 is the mean time of the step. Pure; pF, counts,
// s. The derivation stands in docs/uncertainty.md.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "station/metrology/state_means.hpp"
#include "station/metrology/tips.hpp"

namespace padtrim::metrology {

// Sources of error of a line, in the order of LineFit::terms.
enum class LineTerm {
    scatter,
    rounding,
    references,
    meter,
    temperature,
    definition,
    fixture,
    memory,
    flexing
};
inline constexpr std::size_t line_terms = 9;
[[nodiscard]] const char* name_of(LineTerm term);

// Variances and covariance of (gain, offset).
struct PairCovariance {
    double gain = 0.0, offset = 0.0, both = 0.0;
};

struct LineFit {
    double gain = 0.0, offset = 0.0;
    double drift = 0.0;         // counts/s over the step
    PairCovariance covariance;  // sum of the terms and of the lack of fit
    std::array<PairCovariance, line_terms> terms;
    PairCovariance lack;  // (excess - 1) times the sum of the terms (Birge)
    double lack_degrees = 0.0;
    double scatter_degrees = 0.0;
    double gain_degrees = 0.0, offset_degrees = 0.0;  // Welch-Satterthwaite
    double chi_squared = 0.0, fit_degrees = 0.0;
    double excess = 1.0;     // above 1 when the states disagree by more than their errors
    double span = 0.0;       // counts from open to the largest step
    double departure = 0.0;  // largest residual of a reference or of open, counts
    double departure_standard = 0.0;
};

// One state as the fit sees it.
struct LinePoint {
    double mean = 0.0;              // counts
    double variance = 0.0;          // of the mean, by scatter
    double at = 0.0;                // s
    const TipStep* step = nullptr;  // null: all references open
    double memory = 0.0;            // counts, by the doubt of the filter's memory: common to all
};

struct LineInput {
    std::span<const LinePoint> points;
    double rounding = 0.0;         // variance that whole counts leave in a mean
    double scatter_degrees = 0.0;  // of the scatter's variance
    TipPart part;
    TemperatureDoubt temperature = {};  // for trials; the steps hold what it does to them
};

// Whether nothing in it is a NaN or an infinity (degrees may be infinite).
[[nodiscard]] bool finite(const LineInput& input);

// Why no line was fitted, as a sentence without a full stop: states missing, a value that is no
// finite number, or so few effective degrees of freedom (fewest_degrees) that no expanded
// uncertainty means anything.
struct LineProblem {
    std::string what;
};
[[nodiscard]] std::optional<LineFit> fit_line(const LineInput& input, LineProblem& problem);

// What a term's inputs are, with the sensitivity of gain and offset to each: one a reference for
// their own errors, else one a term. Scatter and whole counts are the root mean square over the
// states; common errors are relative (1).
struct LineSensitivity {
    LineTerm term = LineTerm::scatter;
    const TipStep* step = nullptr;  // of a reference's own error
    double standard = 0.0;          // counts, pF or 1
    double gain = 0.0, offset = 0.0;
};
// Empty where fit_line() has no answer.
[[nodiscard]] std::vector<LineSensitivity> sensitivities_of(const LineInput& input);

// Gain and offset alone, as fit_line() finds them; nothing where the states make no line.
struct LineEstimate {
    double gain = 0.0, offset = 0.0;
};
[[nodiscard]] std::optional<LineEstimate> estimate_line(const LineInput& input);

}  // namespace padtrim::metrology
