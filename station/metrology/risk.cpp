#include "station/metrology/risk.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <boost/math/quadrature/gauss_kronrod.hpp>

#include "db/statistics/distributions.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;
using statistics::normal_probability;

namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

double low_of(const Limits& limits) {
    return limits.low.value_or(-endless);
}
double high_of(const Limits& limits) {
    return limits.high.value_or(endless);
}
bool is_number(const Limits& limits) {
    return !std::isnan(low_of(limits)) && !std::isnan(high_of(limits));
}

// Integral piece by piece: the integrand changes within a few measurement deviations of a limit.
template <class F>
double integral(F&& f, double from, double to, std::vector<double> breaks) {
    breaks.push_back(from);
    breaks.push_back(to);
    for (double& at : breaks) at = std::clamp(at, from, to);
    std::sort(breaks.begin(), breaks.end());
    double sum = 0.0;
    using Rule = boost::math::quadrature::gauss_kronrod<double, 31>;
    for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
        if (breaks[i] < breaks[i + 1])
            sum += Rule::integrate(f, breaks[i], breaks[i + 1], 10, 1e-12);
    }
    return sum;
}

std::vector<double> breaks_of(const Limits& tolerance, const Limits& acceptance, double deviation) {
    std::vector<double> breaks;
    const auto around = [&](std::optional<double> limit) {
        if (!limit) return;
        for (const double k : {-8.0, -4.0, 0.0, 4.0, 8.0}) breaks.push_back(*limit + k * deviation);
    };
    around(acceptance.low);
    around(acceptance.high);
    if (tolerance.low) breaks.push_back(*tolerance.low);
    if (tolerance.high) breaks.push_back(*tolerance.high);
    return breaks;
}

}  // namespace

Process normal_process(double mean, double deviation) {
    return {[mean, deviation](double x) {
                return statistics::normal_density((x - mean) / deviation) / deviation;
            },
            mean - 12.0 * deviation, mean + 12.0 * deviation};
}

Process gamma_process(double shape, double rate) {
    const double scale = shape * std::log(rate) - std::lgamma(shape);
    return {[shape, rate, scale](double x) {
                return x > 0.0 ? std::exp(scale + (shape - 1.0) * std::log(x) - rate * x) : 0.0;
            },
            0.0, (shape + 12.0 * std::sqrt(shape) + 40.0) / rate};
}

Checked<Limits> guarded_limits(const Limits& tolerance, double w) {
    if (!std::isfinite(w) || !is_number(tolerance)) return Flaw::not_finite;
    if (w < 0.0) return Flaw::not_positive;
    Limits acceptance = tolerance;
    if (acceptance.low) *acceptance.low += w;
    if (acceptance.high) *acceptance.high -= w;
    if (low_of(acceptance) > high_of(acceptance)) return Flaw::empty_interval;
    return acceptance;
}

Checked<GlobalRisk> global_risk(const Process& process, double measurement_deviation,
                                const Limits& tolerance, const Limits& acceptance) {
    if (!std::isfinite(measurement_deviation)) return Flaw::not_finite;
    if (!is_number(tolerance) || !is_number(acceptance)) return Flaw::not_finite;
    if (!std::isfinite(process.low) || !std::isfinite(process.high)) return Flaw::not_finite;
    if (!(measurement_deviation > 0.0)) return Flaw::not_positive;
    const double low = low_of(tolerance), high = high_of(tolerance);
    if (low > high || low_of(acceptance) > high_of(acceptance)) return Flaw::empty_interval;
    if (!(process.low < process.high)) return Flaw::empty_interval;
    const auto accepted = [&](double truth) {
        return normal_probability((high_of(acceptance) - truth) / measurement_deviation) -
               normal_probability((low_of(acceptance) - truth) / measurement_deviation);
    };
    const auto breaks = breaks_of(tolerance, acceptance, measurement_deviation);
    const auto over = [&](auto&& f, double from, double to) {
        from = std::max(from, process.low);
        to = std::min(to, process.high);
        return from < to ? integral(f, from, to, breaks) : 0.0;
    };
    const auto bad = [&](double x) { return process.density(x) * accepted(x); };
    const auto lost = [&](double x) { return process.density(x) * (1.0 - accepted(x)); };
    GlobalRisk risk;
    risk.consumer = over(bad, -endless, low) + over(bad, high, endless);
    risk.producer = over(lost, low, high);
    risk.nonconforming =
        over(process.density, -endless, low) + over(process.density, high, endless);
    if (!std::isfinite(risk.consumer + risk.producer + risk.nonconforming)) return Flaw::not_finite;
    return risk;
}

Checked<double> guard_band_for(const Process& process, double measurement_deviation,
                               const Limits& tolerance, double risk, const Limits& natural) {
    if (!tolerance.limited()) return Flaw::empty_interval;
    if (!is_number(tolerance) || !is_number(natural)) return Flaw::not_finite;
    if (!(risk > 0.0 && risk < 1.0)) return Flaw::out_of_domain;
    const auto consumer = [&](double w) -> Checked<double> {
        auto acceptance = guarded_limits(tolerance, w);
        if (!acceptance) return 0.0;
        if (!acceptance->low) acceptance->low = natural.low;
        if (!acceptance->high) acceptance->high = natural.high;
        if (low_of(*acceptance) > high_of(*acceptance)) return 0.0;  // nothing is accepted
        const auto found = global_risk(process, measurement_deviation, tolerance, *acceptance);
        if (!found) return found.error();
        return found->consumer;
    };
    const auto simple = consumer(0.0);
    if (!simple) return simple.error();
    if (*simple <= risk) return 0.0;
    double low = 0.0, high = 10.0 * measurement_deviation;
    const auto widest = consumer(high);
    if (!widest || *widest > risk) return Flaw::no_convergence;
    for (int i = 0; i < 60 && high - low > 1e-13 * measurement_deviation; ++i) {
        const double middle = 0.5 * (low + high);
        const auto found = consumer(middle);
        if (!found) return found.error();
        (*found > risk ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace padtrim::metrology
