#include "station/metrology/channel_line.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <boost/container/small_vector.hpp>

#include "db/statistics/distributions.hpp"
#include "db/statistics/least_squares.hpp"
#include "station/metrology/budget.hpp"
#include "station/metrology/conformity.hpp"

namespace padtrim::metrology {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr const char* too_few_readings =
    "its readings are too few or too alike to tell their scatter; take more scans";

struct Frame {
    std::size_t unknowns = 2;
    double middle = 0.0, half = 1.0;  // time column runs from -1 to 1
    double nearest_gain = 0.0;        // before the fit, to scale reference errors with
    statistics::Numbers<48> design;
    statistics::Numbers<16> observed;
    boost::container::small_vector<int, 16> group;  // states that share one reference's error
    statistics::Numbers<8> group_size;              // by group
};
using SeenSteps = boost::container::small_vector<const TipStep*, 8>;
using Covariance = statistics::Numbers<256>;

template <class Numbers>
std::span<const double> view(const Numbers& numbers) {
    return {numbers.data(), numbers.size()};
}

std::size_t open_states(std::span<const LinePoint> points) {
    return static_cast<std::size_t>(
        std::count_if(points.begin(), points.end(), [](const auto& p) { return !p.step; }));
}

std::size_t different_steps(std::span<const LinePoint> points) {
    SeenSteps seen;
    for (const LinePoint& p : points) {
        if (p.step && std::find(seen.begin(), seen.end(), p.step) == seen.end()) {
            seen.push_back(p.step);
        }
    }
    return seen.size();
}

// Slope from the open mean to the largest step.
double rough_gain(std::span<const LinePoint> points) {
    double open = 0.0, top = 0.0, largest = 0.0;
    for (const LinePoint& p : points) {
        if (!p.step) open += p.mean;
        if (p.step && p.step->value > largest) {
            largest = p.step->value;
            top = p.mean;
        }
    }
    return (top - open / static_cast<double>(open_states(points))) / largest;
}

Frame frame_of(std::span<const LinePoint> points) {
    Frame frame;
    const auto [first, last] = std::minmax_element(
        points.begin(), points.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
    frame.middle = 0.0;
    for (const LinePoint& p : points) frame.middle += p.at / static_cast<double>(points.size());
    frame.half = 0.5 * (last->at - first->at);
    const bool bracketed = open_states(points) >= 3 && points.size() >= 5 && frame.half > 0.0;
    frame.unknowns = bracketed ? 3 : 2;
    frame.nearest_gain = rough_gain(points);
    SeenSteps seen;
    for (const LinePoint& p : points) {
        frame.observed.push_back(p.mean);
        frame.design.push_back(1.0);
        frame.design.push_back(p.step ? p.step->value : 0.0);
        if (bracketed) frame.design.push_back((p.at - frame.middle) / frame.half);
        const auto known = std::find(seen.begin(), seen.end(), p.step);
        frame.group.push_back(static_cast<int>(known - seen.begin()));
        if (known == seen.end()) {
            seen.push_back(p.step);
            frame.group_size.push_back(0.0);
        }
        frame.group_size[frame.group.back()] += 1.0;
    }
    return frame;
}

// Rounding of quiet counts repeats when a state repeats. Of m states of a group, each has the
// rounding by itself and shares this part, so that the mean of the group is no better than one.
double shared_rounding(double rounding, double group_size) {
    return rounding * (1.0 - 1.0 / group_size);
}

// What the points of one group share: the reference's own error, and its rounding.
double shared_variance(const LinePoint& p, int group, const Frame& frame, double rounding) {
    const double repeated = shared_rounding(rounding, frame.group_size[group]);
    if (!p.step) return repeated;
    const double own = frame.nearest_gain * p.step->independent;
    return repeated + own * own;
}

// What a state has by itself: scatter, rounding, and wiring that moved as the relay closed.
double own_variance(const LineInput& input, const LinePoint& p, double gain) {
    const double moved = p.step ? gain * input.part.flexing : 0.0;
    return p.variance + input.rounding + moved * moved;
}

Covariance covariance_of(const LineInput& input, const Frame& frame) {
    const std::size_t n = input.points.size();
    Covariance v(n * n, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t k = 0; k < n; ++k) {
            if (frame.group[i] != frame.group[k]) continue;
            v[i * n + k] = shared_variance(input.points[i], frame.group[i], frame, input.rounding);
        }
        // Unlike the errors common to all references this one can bend the line.
        const double memory = input.points[i].memory;
        for (std::size_t k = 0; memory != 0.0 && k < n; ++k) {
            v[i * n + k] += memory * input.points[k].memory;
        }
        v[i * n + i] += own_variance(input, input.points[i], frame.nearest_gain);
    }
    return v;
}

statistics::Checked<statistics::Generalised> fitted(const LineInput& input, const Frame& frame) {
    const Covariance v = covariance_of(input, frame);
    return statistics::fit_generalised(view(frame.design), frame.unknowns, view(frame.observed),
                                       view(v));
}

// Error of (gain, offset) by one source that moves the observations by `error`.
struct Shift {
    double gain = 0.0, offset = 0.0;
};
PairCovariance squared(Shift s) {
    return {s.gain * s.gain, s.offset * s.offset, s.gain * s.offset};
}
void add(PairCovariance& to, const PairCovariance& more) {
    to.gain += more.gain;
    to.offset += more.offset;
    to.both += more.both;
}

class Propagation {
  public:
    Propagation(const LineInput& input, const Frame& frame, const statistics::Generalised& fit)
        : input_(input), frame_(frame), fit_(fit), n_(input.points.size()) {}

    // Every state by itself.
    template <class Variance>
    [[nodiscard]] PairCovariance independent(Variance variance) const {
        PairCovariance sum;
        for (std::size_t i = 0; i < n_; ++i) {
            PairCovariance one = squared(weight(i));
            const double v = variance(input_.points[i]);
            add(sum, {one.gain * v, one.offset * v, one.both * v});
        }
        return sum;
    }
    // The same error in all states of a group; `size` gives its standard deviation there.
    template <class Size>
    [[nodiscard]] PairCovariance by_group(Size size) const {
        PairCovariance sum;
        for (std::size_t g = 0; g < frame_.group_size.size(); ++g) {
            Shift shift;
            for (std::size_t i = 0; i < n_; ++i) {
                if (frame_.group[i] != static_cast<int>(g)) continue;
                const Shift w = weight(i);
                const double e = size(input_.points[i], frame_.group_size[g]);
                shift.gain += w.gain * e;
                shift.offset += w.offset * e;
            }
            add(sum, squared(shift));
        }
        return sum;
    }
    // One error that moves all states together.
    template <class Size>
    [[nodiscard]] PairCovariance common(Size size) const {
        return squared(shift(size));
    }
    // By which gain and offset move when the states are moved so.
    template <class Size>
    [[nodiscard]] Shift shift(Size size) const {
        Shift sum;
        for (std::size_t i = 0; i < n_; ++i) {
            const Shift w = weight(i);
            const double e = size(input_.points[i]);
            sum.gain += w.gain * e;
            sum.offset += w.offset * e;
        }
        return sum;
    }

  private:
    // The offset is the intercept less gain times the fixture's part.
    [[nodiscard]] Shift weight(std::size_t i) const {
        const double gain = fit_.map[n_ + i];
        return {gain, fit_.map[i] - input_.part.value * gain};
    }
    const LineInput& input_;
    const Frame& frame_;
    const statistics::Generalised& fit_;
    std::size_t n_;
};

void fill_terms(LineFit& line, const LineInput& input, const Frame& frame,
                const statistics::Generalised& fit) {
    const Propagation errors(input, frame, fit);
    const double gain = line.gain;
    auto& t = line.terms;
    t[0] = errors.independent([](const LinePoint& p) { return p.variance; });
    if (input.rounding > 0.0) {
        t[1] = errors.independent([&](const LinePoint&) { return input.rounding; });
        add(t[1], errors.by_group([&](const LinePoint&, double size) {
            return std::sqrt(shared_rounding(input.rounding, size));
        }));
    }
    t[2] = errors.by_group(
        [&](const LinePoint& p, double) { return p.step ? gain * p.step->independent : 0.0; });
    t[3] = errors.common([&](const LinePoint& p) { return p.step ? gain * p.step->common : 0.0; });
    t[4] = errors.common(
        [&](const LinePoint& p) { return p.step ? gain * p.step->temperature : 0.0; });
    t[5] =
        errors.common([&](const LinePoint& p) { return p.step ? gain * p.step->definition : 0.0; });
    t[6] = squared({0.0, gain * input.part.standard});
    t[7] = errors.common([](const LinePoint& p) { return p.memory; });
    if (const double moved = gain * input.part.flexing; moved != 0.0) {
        t[8] = errors.independent([&](const LinePoint& p) { return p.step ? moved * moved : 0.0; });
        add(t[8], squared({0.0, moved}));
    }
    for (const PairCovariance& term : t) add(line.covariance, term);
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

std::optional<LineEstimate> estimate_line(const LineInput& input) {
    if (problem_of(input)) return std::nullopt;
    const Frame frame = frame_of(input.points);
    const auto fit = fitted(input, frame);
    if (!fit) return std::nullopt;
    return LineEstimate{fit->estimate[1], fit->estimate[0] - fit->estimate[1] * input.part.value};
}

}  // namespace padtrim::metrology
