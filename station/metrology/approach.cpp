#include "station/metrology/approach.hpp"

#include <algorithm>
#include <cmath>

#include "db/statistics/straight_line.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

namespace {

// Between the last look without the new state and the first with it.
struct Crossing {
    double place = 0.0, standard = 0.0;
    bool at_first = false;
};

Checked<Crossing> crossing_of(std::span<const HeightReport> looks, bool wanted, double direction) {
    if (looks.size() < 2) return Flaw::too_few_points;
    for (std::size_t i = 0; i < looks.size(); ++i) {
        if (!std::isfinite(looks[i].height.value())) return Flaw::not_finite;
        const double moved = i > 0 ? (looks[i].height - looks[i - 1].height).value() : direction;
        if (moved * direction < 0.0) return Flaw::out_of_domain;
    }
    for (std::size_t i = 0; i < looks.size(); ++i) {
        if (looks[i].reported != wanted) continue;
        const double here = looks[i].height.value();
        if (i == 0) return Crossing{here, 0.0, true};
        const double before = looks[i - 1].height.value();
        return Crossing{0.5 * (here + before), std::abs(here - before) / std::sqrt(12.0), false};
    }
    return Flaw::no_convergence;
}

}  // namespace

Checked<OperatingDistance> operating_distance(std::span<const HeightReport> approach,
                                              std::span<const HeightReport> withdrawal) {
    const auto operate = crossing_of(approach, true, -1.0);
    if (!operate) return operate.error();
    const auto release = crossing_of(withdrawal, false, 1.0);
    if (!release) return release.error();
    OperatingDistance result;
    result.operate = Millimetre(operate->place);
    result.release = Millimetre(release->place);
    result.differential_travel = result.release - result.operate;
    result.operate_standard = Millimetre(operate->standard);
    result.release_standard = Millimetre(release->standard);
    result.travel_standard = Millimetre(std::hypot(operate->standard, release->standard));
    result.within_reach = !operate->at_first && !release->at_first;
    return result;
}

Checked<ResponseTime> response_time(Millisecond reached, std::span<const TimedReport> reports) {
    if (reports.size() < 2) return Flaw::too_few_points;
    if (!std::isfinite(reached.value())) return Flaw::not_finite;
    const TimedReport* before = nullptr;
    for (const TimedReport& report : reports) {
        if (!std::isfinite(report.at.value())) return Flaw::not_finite;
        if (before != nullptr && report.at < before->at) return Flaw::out_of_domain;
        if (!report.reported) {
            before = &report;
            continue;
        }
        // Reported at the first look: nobody knows since when.
        if (before == nullptr) return Flaw::out_of_domain;
        ResponseTime result;
        result.resolution = report.at - before->at;
        result.time = 0.5 * (report.at + before->at) - reached;
        result.standard = result.resolution / std::sqrt(12.0);
        return result;
    }
    return Flaw::no_convergence;
}

Checked<AdaptationResult> adaptation(std::span<const Approach> approaches, MillimetrePerSecond slow,
                                     MillimetrePerSecond fast) {
    if (approaches.empty()) return Flaw::too_few_points;
    if (!(slow < fast)) return Flaw::empty_interval;
    AdaptationResult result;
    for (std::size_t i = 0; i < approaches.size(); ++i) {
        const Approach& a = approaches[i];
        if (!std::isfinite(a.speed.value())) return Flaw::not_finite;
        const bool wrongly_reported = a.speed <= slow && a.reported;
        const bool missed = a.speed >= fast && !a.reported;
        if (wrongly_reported) result.slow_followed = false;
        if (missed) result.fast_reported = false;
        if ((wrongly_reported || missed) && !result.first_wrong) result.first_wrong = i;
    }
    return result;
}

Checked<PositionLinearity> position_linearity(std::span<const PositionReading> readings,
                                              double period) {
    std::vector<double> x, y;
    const auto unwrapped = [period](double value, const std::vector<double>& so_far) {
        if (period <= 0.0 || so_far.empty()) return value;
        return value - period * std::round((value - so_far.back()) / period);
    };
    for (const PositionReading& r : readings) {
        x.push_back(unwrapped(r.truth, x));
        y.push_back(unwrapped(r.reported, y));
    }
    // Reported may start a turn away from the truth.
    if (period > 0.0 && !x.empty()) {
        const double turns = period * std::round((y[0] - x[0]) / period);
        for (double& value : y) value -= turns;
    }
    const auto line = statistics::line_of_equal(x, y);
    if (!line) return line.error();
    PositionLinearity result;
    result.slope = line->slope;
    result.offset = line->intercept;
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double departure = std::abs(y[i] - line->at(x[i]));
        if (departure <= result.largest) continue;
        result.largest = departure;
        result.where = i;
    }
    const auto [low, high] = std::minmax_element(x.begin(), x.end());
    result.non_linearity = 100.0 * result.largest / (*high - *low);
    return result;
}

}  // namespace padtrim::metrology
