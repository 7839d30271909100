#include "station/metrology/monte_carlo.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>
#include <numbers>

#include "db/statistics/moments.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

TrialRandom::TrialRandom(std::uint64_t seed) : state_{} {
    // SplitMix64 spreads any seed over the state.
    for (auto& word : state_) {
        seed += 0x9E3779B97F4A7C15U;
        std::uint64_t z = seed;
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
        word = z ^ (z >> 31U);
    }
}

std::uint64_t TrialRandom::next() {
    const std::uint64_t result = std::rotl(state_[0] + state_[3], 23) + state_[0];
    const std::uint64_t t = state_[1] << 17U;
    state_[2] ^= state_[0];
    state_[3] ^= state_[1];
    state_[1] ^= state_[2];
    state_[0] ^= state_[3];
    state_[2] ^= t;
    state_[3] = std::rotl(state_[3], 45);
    return result;
}

double TrialRandom::uniform() {
    return (static_cast<double>(next() >> 11U) + 0.5) * 0x1.0p-53;
}

double TrialRandom::normal() {
    if (have_spare_) {
        have_spare_ = false;
        return spare_;
    }
    const double radius = std::sqrt(-2.0 * std::log(uniform()));
    const double turn = 2.0 * std::numbers::pi * uniform();
    spare_ = radius * std::sin(turn);
    have_spare_ = true;
    return radius * std::cos(turn);
}

double TrialRandom::student(double degrees) {
    if (!(degrees < 1e9)) return normal();
    // Bailey's polar form (Math. Comp. 62 (1994) 779).
    const double u = uniform();
    const double radius = std::sqrt(degrees * (std::pow(u, -2.0 / degrees) - 1.0));
    return radius * std::cos(2.0 * std::numbers::pi * uniform());
}

namespace {

double drawn(const InputDistribution& input, TrialRandom& random) {
    switch (input.shape) {
        case InputShape::normal:
            return input.value + input.scale * random.normal();
        case InputShape::rectangular:
            return input.value + input.scale * (2.0 * random.uniform() - 1.0);
        case InputShape::triangular:
            return input.value + input.scale * (random.uniform() + random.uniform() - 1.0);
        case InputShape::arc_sine:
            return input.value + input.scale * std::sin(2.0 * std::numbers::pi * random.uniform());
        case InputShape::student:
            return input.value + input.scale * random.student(input.degrees);
    }
    return input.value;
}

}  // namespace

Checked<MonteCarloResult> summarised(std::vector<double> values, double coverage) {
    if (values.size() < 1000) return Flaw::too_few_points;
    if (!(coverage > 0.0 && coverage < 1.0)) return Flaw::out_of_domain;
    if (!statistics::all_finite(values)) return Flaw::not_finite;
    const auto moments = statistics::Moments::of(values);
    std::sort(values.begin(), values.end());
    // JCGM 101 7.7.2, counted from 1 there: from y(r) to y(r + q), r = (M - q) / 2 or, when that is
    // no whole number, the whole part of (M - q + 1) / 2.
    const auto q =
        static_cast<std::size_t>(std::llround(coverage * static_cast<double>(values.size())));
    const std::size_t rest = values.size() - q;
    if (rest == 0) return Flaw::too_few_points;
    const std::size_t below = (rest + 1) / 2 - 1;
    MonteCarloResult result;
    result.trials = values.size();
    result.mean = *moments.mean();
    result.standard = *moments.standard_deviation();
    result.low = values[below];
    result.high = values[below + q];
    std::size_t best = 0;
    for (std::size_t i = 1; i < rest; ++i) {
        if (values[i + q] - values[i] < values[best + q] - values[best]) best = i;
    }
    // Where the quantile lies among sorted values varies by the binomial deviation of its rank.
    const double tail = 0.5 * (1.0 - coverage), n = static_cast<double>(values.size());
    const auto ranks =
        static_cast<std::size_t>(std::ceil(1.96 * std::sqrt(n * tail * (1.0 - tail))));
    const auto spread = [&](std::size_t at) {
        const std::size_t from = at > ranks ? at - ranks : 0;
        const std::size_t to = std::min(at + ranks, values.size() - 1);
        return 0.5 * (values[to] - values[from]);
    };
    result.low_doubt = spread(below);
    result.high_doubt = spread(below + q);
    result.shortest_low = values[best];
    result.shortest_high = values[best + q];
    return result;
}

Checked<MonteCarloResult> propagate(const std::function<double(std::span<const double>)>& model,
                                    std::span<const InputDistribution> inputs, std::size_t trials,
                                    double coverage, std::uint64_t seed) {
    for (const InputDistribution& input : inputs) {
        if (!std::isfinite(input.value) || !std::isfinite(input.scale)) return Flaw::not_finite;
        if (input.scale < 0.0) return Flaw::not_positive;
        if (input.shape == InputShape::student && !(input.degrees > 0.0)) {
            return Flaw::out_of_domain;
        }
    }
    TrialRandom random(seed);
    std::vector<double> values(trials), x(inputs.size());
    for (double& value : values) {
        for (std::size_t i = 0; i < x.size(); ++i) x[i] = drawn(inputs[i], random);
        value = model(x);
    }
    return summarised(std::move(values), coverage);
}

Checked<GumCheck> compare(double value, const CombinedUncertainty& stated,
                          const MonteCarloResult& trials) {
    if (!std::isfinite(value + stated.standard + stated.expanded)) return Flaw::not_finite;
    if (!(stated.standard > 0.0)) return Flaw::not_positive;
    GumCheck check;
    // u = c 10^l with two digits in c.
    check.delta = 0.5 * std::pow(10.0, std::floor(std::log10(stated.standard)) - 1.0);
    check.low_off = std::abs(value - stated.expanded - trials.low);
    check.high_off = std::abs(value + stated.expanded - trials.high);
    check.doubt = std::max(trials.low_doubt, trials.high_doubt);
    const double off = std::max(check.low_off, check.high_off);
    if (off - check.doubt > check.delta) {
        check.agreement = Agreement::differs;
    } else if (off + check.doubt > check.delta) {
        check.agreement = Agreement::too_few_trials;
    }
    return check;
}

namespace {

// A type B error with unit deviation, by its own distribution.
double unit_rectangular(TrialRandom& random) {
    return std::sqrt(12.0) * (random.uniform() - 0.5);
}

// One world in which all that the certificates leave open has been settled.
class DrawnLine {
  public:
    DrawnLine(const LineInput& input, const LineFit& fit, TrialRandom& random)
        : points_(input.points.begin(), input.points.end()) {
        const double meter = random.normal(), strays = random.normal();
        const double kelvin = temperature_error(input.temperature, random);
        const bool filtered = std::any_of(points_.begin(), points_.end(),
                                          [](const LinePoint& p) { return p.memory != 0.0; });
        const double memory = filtered ? random.normal() : 0.0;
        part = fit.gain * (input.part.standard * random.normal() +
                           input.part.flexing * unit_rectangular(random));
        // What the states of one reference share: its own error, and the rounding that repeats.
        struct Shared {
            double states = 0.0, own = 0.0, rounding = 0.0;
        };
        std::map<const TipStep*, Shared> shared;
        for (const LinePoint& point : points_) shared[point.step].states += 1.0;
        for (LinePoint& point : points_) {
            Shared& group = shared[point.step];
            if (group.own == 0.0) {
                group.own = random.normal();
                const double repeated = 1.0 - 1.0 / group.states;
                group.rounding = std::sqrt(input.rounding * repeated) * unit_rectangular(random);
            }
            point.mean += group.rounding;
            point.mean += memory * point.memory;
            double error = std::sqrt(point.variance) * random.student(input.scatter_degrees);
            error += std::sqrt(input.rounding) * unit_rectangular(random);
            if (const TipStep* s = point.step) {
                error += fit.gain * input.part.flexing * unit_rectangular(random);
                error += fit.gain * (s->independent * group.own + s->common * meter +
                                     s->temperature * kelvin + s->definition * strays);
            }
            point.mean += error;
        }
    }
    [[nodiscard]] std::span<const LinePoint> points() const { return points_; }
    double part = 0.0;  // counts by which the fixture's part is wrong

  private:
    // In deviations: of the product of both errors as they are distributed (JCGM 101 6.4.2, 6.4.7).
    static double temperature_error(const TemperatureDoubt& t, TrialRandom& random) {
        const double whole = t.relative();
        if (!(whole > 0.0)) return random.normal();
        const double kelvin = t.standard * (t.read ? random.normal() : unit_rectangular(random));
        const double coefficient = t.coefficient_standard * unit_rectangular(random);
        return (t.coefficient * kelvin + coefficient * (t.above + kelvin)) / whole;
    }
    std::vector<LinePoint> points_;
};

}  // namespace

namespace {

// What errors found too small by the fit are multiplied with: the Birge ratio, itself known with
// the fit's degrees only.
double drawn_excess(const LineFit& fit, TrialRandom& random) {
    if (fit.excess <= 1.0) return 1.0;
    double chi_squared = 0.0;
    for (double i = 0.0; i < fit.fit_degrees; i += 1.0) {
        const double z = random.normal();
        chi_squared += z * z;
    }
    return std::sqrt(fit.excess * fit.fit_degrees / chi_squared);
}

}  // namespace

Checked<LineTrials> line_trials(const LineInput& input, std::size_t trials, std::uint64_t seed) {
    LineProblem problem;
    if (!finite(input)) return Flaw::not_finite;
    const auto fit = fit_line(input, problem);
    if (!fit || !(input.scatter_degrees > 0.0)) return Flaw::too_few_points;
    TrialRandom random(seed);
    std::vector<double> gain, offset;
    gain.reserve(trials);
    offset.reserve(trials);
    for (std::size_t i = 0; i < trials; ++i) {
        const DrawnLine drawn_line(input, *fit, random);
        LineInput again = input;
        again.points = drawn_line.points();
        // A trial says nothing of its own uncertainty: it needs no degrees for one.
        const auto refit = estimate_line(again);
        if (!refit) return Flaw::no_convergence;
        const double widened = drawn_excess(*fit, random);
        gain.push_back(fit->gain + widened * (refit->gain - fit->gain));
        offset.push_back(fit->offset + widened * (refit->offset - fit->offset + drawn_line.part));
    }
    const auto of_gain = summarised(std::move(gain), 0.95);
    if (!of_gain) return of_gain.error();
    const auto of_offset = summarised(std::move(offset), 0.95);
    if (!of_offset) return of_offset.error();
    return LineTrials{*of_gain, *of_offset};
}

}  // namespace padtrim::metrology
