// What gain and offset of a line are sensitive to, input by input.
#include <algorithm>
#include <cmath>

#include "station/metrology/line_frame.hpp"
#include "station/metrology/line_propagation.hpp"

namespace padtrim::metrology {

namespace {

// Root mean square over the states.
template <class Variance>
double typical(std::span<const LinePoint> points, Variance variance) {
    double sum = 0.0;
    for (const LinePoint& p : points) sum += variance(p);
    return std::sqrt(sum / static_cast<double>(points.size()));
}

// Of a term that is no single input: whatever makes the contribution of its standard uncertainty.
LineSensitivity overall(LineTerm term, const PairCovariance& part, double standard) {
    const double by = standard > 0.0 ? 1.0 / standard : 0.0;
    return {term, nullptr, standard, by * std::sqrt(part.gain), by * std::sqrt(part.offset)};
}

// Of one error relative to each step, the same for all.
template <class Size>
LineSensitivity of_relative(LineTerm term, const Propagation& errors,
                            std::span<const LinePoint> points, double gain, Size size) {
    double largest = 0.0;
    for (const LinePoint& p : points)
        if (p.step) largest = std::max(largest, size(*p.step) / p.step->value);
    LineSensitivity result{term, nullptr, largest, 0.0, 0.0};
    if (!(largest > 0.0)) return result;
    const auto shift = errors.shift(
        [&](const LinePoint& p) { return p.step ? gain * size(*p.step) / largest : 0.0; });
    // More signal from the same capacitance is less capacitance for the same signal.
    result.gain = -shift.gain;
    result.offset = -shift.offset;
    return result;
}

}  // namespace

std::vector<LineSensitivity> sensitivities_of(const LineInput& input) {
    LineProblem problem;
    const auto line = fit_line(input, problem);
    if (!line) return {};
    const Frame frame = frame_of(input.points);
    const auto fit = fitted(input, frame);
    if (!fit) return {};
    const Propagation errors(input, frame, *fit);
    const auto points = input.points;
    const double gain = line->gain;
    const auto term = [&](LineTerm t) { return line->terms[static_cast<std::size_t>(t)]; };
    std::vector<LineSensitivity> all;
    all.push_back(overall(LineTerm::scatter, term(LineTerm::scatter),
                          typical(points, [](const LinePoint& p) { return p.variance; })));
    all.push_back(overall(LineTerm::rounding, term(LineTerm::rounding), std::sqrt(input.rounding)));
    SeenSteps seen;
    for (const LinePoint& one : points) {
        if (!one.step || std::find(seen.begin(), seen.end(), one.step) != seen.end()) continue;
        seen.push_back(one.step);
        const auto shift =
            errors.shift([&](const LinePoint& p) { return p.step == one.step ? gain : 0.0; });
        all.push_back(
            {LineTerm::references, one.step, one.step->independent, -shift.gain, -shift.offset});
    }
    const auto relative = [&](LineTerm t, double TipStep::*size) {
        all.push_back(
            of_relative(t, errors, points, gain, [&](const TipStep& s) { return s.*size; }));
    };
    relative(LineTerm::meter, &TipStep::common);
    relative(LineTerm::temperature, &TipStep::temperature);
    relative(LineTerm::definition, &TipStep::definition);
    all.push_back({LineTerm::fixture, nullptr, input.part.standard, 0.0, -gain});
    all.push_back(overall(LineTerm::memory, term(LineTerm::memory),
                          typical(points, [](const LinePoint& p) { return p.memory * p.memory; })));
    all.push_back(overall(LineTerm::flexing, term(LineTerm::flexing), input.part.flexing));
    return all;
}

}  // namespace padtrim::metrology
