#include "station/metrology/line_frame.hpp"

#include <algorithm>

namespace padtrim::metrology {

namespace {

using Covariance = statistics::Numbers<256>;

template <class Numbers>
std::span<const double> view(const Numbers& numbers) {
    return {numbers.data(), numbers.size()};
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

}  // namespace

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

double shared_rounding(double rounding, double group_size) {
    return rounding * (1.0 - 1.0 / group_size);
}

double shared_variance(const LinePoint& p, int group, const Frame& frame, double rounding) {
    const double repeated = shared_rounding(rounding, frame.group_size[group]);
    if (!p.step) return repeated;
    const double own = frame.nearest_gain * p.step->independent;
    return repeated + own * own;
}

double own_variance(const LineInput& input, const LinePoint& p, double gain) {
    const double moved = p.step ? gain * input.part.flexing : 0.0;
    return p.variance + input.rounding + moved * moved;
}

namespace {

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

}  // namespace

statistics::Checked<statistics::Generalised> fitted(const LineInput& input, const Frame& frame) {
    const Covariance v = covariance_of(input, frame);
    return statistics::fit_generalised(view(frame.design), frame.unknowns, view(frame.observed),
                                       view(v));
}

}  // namespace padtrim::metrology
