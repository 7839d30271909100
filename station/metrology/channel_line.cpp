#include "station/metrology/channel_line.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "db/statistics/distributions.hpp"
#include "station/metrology/budget.hpp"
#include "station/metrology/conformity.hpp"
#include "station/metrology/line_frame.hpp"
#include "station/metrology/line_propagation.hpp"

namespace padtrim::metrology {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr const char* too_few_readings =
    "its readings are too few or too alike to tell their scatter; take more scans";

void fill_terms(LineFit& line, const LineInput& input, const Frame& frame,
                const statistics::Generalised& fit) {
    const Propagation errors(input, frame, fit);
    const double gain = line.gain;
    const auto part = [&](LineTerm term) -> PairCovariance& {
        return line.terms[static_cast<std::size_t>(term)];
    };
    part(LineTerm::scatter) = errors.independent([](const LinePoint& p) { return p.variance; });
    if (input.rounding > 0.0) {
        part(LineTerm::rounding) =
            errors.independent([&](const LinePoint&) { return input.rounding; });
        add(part(LineTerm::rounding), errors.by_group([&](const LinePoint&, double size) {
            return std::sqrt(shared_rounding(input.rounding, size));
        }));
    }
    part(LineTerm::references) = errors.by_group(
        [&](const LinePoint& p, double) { return p.step ? gain * p.step->independent : 0.0; });
    part(LineTerm::meter) =
        errors.common([&](const LinePoint& p) { return p.step ? gain * p.step->common : 0.0; });
    part(LineTerm::temperature) = errors.common(
        [&](const LinePoint& p) { return p.step ? gain * p.step->temperature : 0.0; });
    part(LineTerm::definition) =
        errors.common([&](const LinePoint& p) { return p.step ? gain * p.step->definition : 0.0; });
    part(LineTerm::fixture) = squared({0.0, gain * input.part.standard});
    part(LineTerm::memory) = errors.common([](const LinePoint& p) { return p.memory; });
    if (const double moved = gain * input.part.flexing; moved != 0.0) {
        part(LineTerm::flexing) =
            errors.independent([&](const LinePoint& p) { return p.step ? moved * moved : 0.0; });
        add(part(LineTerm::flexing), squared({0.0, moved}));
    }
    for (const PairCovariance& term : line.terms) add(line.covariance, term);
}

// States that disagree by more than all their errors allow (probability 1e-3) widen everything:
// the Birge ratio, R. T. Birge, Phys. Rev. 40 (1932) 207.
double excess_of(double chi_squared, double degrees) {
    // Nobody needs a distribution function for what lies within two standard deviations.
    if (degrees < 1.0 || chi_squared < degrees + 2.0 * std::sqrt(2.0 * degrees)) return 1.0;
    const auto below = statistics::chi_squared_probability(chi_squared, degrees);
    return below && *below > 0.999 ? chi_squared / degrees : 1.0;
}

// What the fit found beyond the errors is (R - 1) times their variance, R the ratio chi-squared
// over its degrees v. The variance of R is 2 R^2 / v, so the part has v (R - 1)^2 / R^2 degrees.
void fill_lack(LineFit& line) {
    if (line.excess <= 1.0) return;
    const double more = line.excess - 1.0, part = more / line.excess;
    const PairCovariance& c = line.covariance;
    line.lack = {more * c.gain, more * c.offset, more * c.both};
    line.lack_degrees = line.fit_degrees * part * part;
    add(line.covariance, line.lack);
}

double degrees_of(const LineFit& line, double PairCovariance::*part) {
    const VariancePart parts[] = {
        {line.terms[static_cast<std::size_t>(LineTerm::scatter)].*part, line.scatter_degrees},
        {line.lack.*part, line.excess > 1.0 ? line.lack_degrees : infinity}};
    const auto degrees = welch_satterthwaite(line.covariance.*part, parts);
    return degrees ? *degrees : 0.0;  // too few for anything
}

// The largest mean residual of a group and the standard uncertainty of it:
// Cov(residuals) = V - X C X^T.
void fill_departure(LineFit& line, const LineInput& input, const Frame& frame,
                    const statistics::Generalised& fit) {
    const std::size_t n = input.points.size(), p = frame.unknowns;
    for (std::size_t g = 0; g < frame.group_size.size(); ++g) {
        const double count = frame.group_size[g];
        double residual = 0.0, own = 0.0, shared = 0.0;
        std::array<double, 3> x{};
        for (std::size_t i = 0; i < n; ++i) {
            if (frame.group[i] != static_cast<int>(g)) continue;
            residual += fit.residuals[i];
            own += own_variance(input, input.points[i], frame.nearest_gain);
            shared = shared_variance(input.points[i], frame.group[i], frame, input.rounding);
            for (std::size_t k = 0; k < p; ++k) x[k] += frame.design[i * p + k];
        }
        double variance = own / (count * count) + shared;
        for (std::size_t k = 0; k < p; ++k) {
            for (std::size_t m = 0; m < p; ++m) {
                variance -= x[k] * x[m] * fit.covariance_of(k, m) / (count * count);
            }
        }
        if (std::abs(residual / count) < line.departure) continue;
        line.departure = std::abs(residual / count);
        line.departure_standard = std::sqrt(std::max(0.0, variance));
    }
}

bool finite_point(const LinePoint& p) {
    double sum = p.mean + p.variance + p.at + p.memory;
    if (const TipStep* s = p.step) {
        sum += s->value + s->independent + s->common + s->temperature + s->definition;
    }
    return std::isfinite(sum);
}

std::optional<LineProblem> problem_of(const LineInput& input) {
    const auto points = input.points;
    if (!finite(input)) {
        return LineProblem{std::string(statistics::text_of(statistics::Flaw::not_finite))};
    }
    if (!(input.scatter_degrees > 0.0)) return LineProblem{too_few_readings};
    if (open_states(points) == 0)
        return LineProblem{"there is no reading with all references open"};
    if (different_steps(points) < 2) return LineProblem{"fewer than two references were read"};
    return std::nullopt;
}

}  // namespace

bool finite(const LineInput& input) {
    const double others =
        input.rounding + input.part.value + input.part.standard + input.part.flexing;
    return std::isfinite(others) &&
           std::all_of(input.points.begin(), input.points.end(), finite_point);
}

const char* name_of(LineTerm term) {
    switch (term) {
        case LineTerm::scatter:
            return "scatter of readings";
        case LineTerm::rounding:
            return "whole counts";
        case LineTerm::references:
            return "each reference's own error";
        case LineTerm::meter:
            return "meter common to all references";
        case LineTerm::temperature:
            return "temperature of the references";
        case LineTerm::definition:
            return "what a guarded meter leaves out";
        case LineTerm::fixture:
            return "the fixture's part";
        case LineTerm::memory:
            return "memory of the product's filter";
        case LineTerm::flexing:
            return "flexing of the wiring";
    }
    return "";
}

std::optional<LineFit> fit_line(const LineInput& input, LineProblem& problem) {
    if (auto found = problem_of(input)) {
        problem = std::move(*found);
        return std::nullopt;
    }
    const Frame frame = frame_of(input.points);
    const auto fit = fitted(input, frame);
    if (!fit) {
        problem.what = std::string(statistics::text_of(fit.error()));
        return std::nullopt;
    }
    LineFit line;
    line.gain = fit->estimate[1];
    line.offset = fit->estimate[0] - line.gain * input.part.value;
    line.drift = frame.unknowns == 3 ? fit->estimate[2] / frame.half : 0.0;
    fill_terms(line, input, frame, *fit);
    line.chi_squared = fit->residual_squares;
    line.fit_degrees = fit->degrees;
    line.excess = excess_of(line.chi_squared, line.fit_degrees);
    line.scatter_degrees = input.scatter_degrees;
    fill_lack(line);
    line.gain_degrees = degrees_of(line, &PairCovariance::gain);
    line.offset_degrees = degrees_of(line, &PairCovariance::offset);
    if (!(std::min(line.gain_degrees, line.offset_degrees) >= fewest_degrees)) {
        problem.what = too_few_readings;
        return std::nullopt;
    }
    for (const LinePoint& p : input.points) {
        if (p.step) line.span = std::max(line.span, std::abs(line.gain) * p.step->value);
    }
    fill_departure(line, input, frame, *fit);
    return line;
}

std::optional<LineEstimate> estimate_line(const LineInput& input) {
    if (problem_of(input)) return std::nullopt;
    const Frame frame = frame_of(input.points);
    const auto fit = fitted(input, frame);
    if (!fit) return std::nullopt;
    return LineEstimate{fit->estimate[1], fit->estimate[0] - fit->estimate[1] * input.part.value};
}

}  // namespace padtrim::metrology
