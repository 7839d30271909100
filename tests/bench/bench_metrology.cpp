// Speed of judging one unit and of one fit. Each stands beside a floor or a peer that is timed in
// the same run: `times_floor` and `times_peer` are ours over theirs.
#include <algorithm>
#include <array>
#include <ctime>

#include <benchmark/benchmark.h>
#include <eigen3/Eigen/Cholesky>
#include <eigen3/Eigen/QR>

#include "db/statistics/least_squares.hpp"
#include "db/statistics/straight_line.hpp"
#include "station/metrology/judge.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim {
namespace {

// The demo product with twelve channels on one frequency.
language::Plan twelve_channels(std::size_t frequencies) {
    language::Plan plan = *test_support::demo_plan();
    plan.map.channels = 12;
    plan.map.frequencies.resize(frequencies);
    for (std::uint16_t c = 8; c < 12; ++c) {
        language::Key key = plan.map.keys[c - 8U];
        key.name = "key " + std::to_string(c + 1);
        key.channels = {c};
        plan.map.keys.push_back(key);
        auto& equipment = plan.fixture.equipment;
        for (const char* reference : {"R1", "R2", "R3", "R4", "R5"}) {
            auto step = *equipment.step(1, 0, reference);
            step.channel = c;
            equipment.steps.push_back(step);
        }
        auto part = *equipment.fixture_part(1, 0);
        part.channel = c;
        equipment.fixture_parts.push_back(part);
    }
    return plan;
}

// Nanoseconds of processor time that one call takes, over as many as fill some milliseconds.
template <class Call>
double nanoseconds_of(Call&& call) {
    constexpr double enough = 0.02 * CLOCKS_PER_SEC;
    for (std::size_t calls = 64;; calls *= 2) {
        const std::clock_t start = std::clock();
        for (std::size_t i = 0; i < calls; ++i) call();
        const auto took = static_cast<double>(std::clock() - start);
        if (took >= enough) return took / CLOCKS_PER_SEC * 1e9 / static_cast<double>(calls);
    }
}

// Ours over theirs, with the same clock.
template <class Ours, class Theirs>
double ratio_of(Ours&& ours, Theirs&& theirs) {
    std::array<double, 5> ratios;
    for (double& ratio : ratios) ratio = nanoseconds_of(ours) / nanoseconds_of(theirs);
    std::sort(ratios.begin(), ratios.end());
    return ratios[2];
}

// The floor of judging: every count read once, its sum and sum of squares.
double sums_of(const record::Observations& seen) {
    double all = 0.0;
    for (const auto& readings : seen.readings) {
        for (const auto& scan : readings.scans) {
            for (const auto count : scan.counts) {
                const double value = count;
                all += value + value * value;
            }
        }
    }
    return all;
}

void judge_unit(benchmark::State& state) {
    const language::Plan plan = twelve_channels(static_cast<std::size_t>(state.range(0)));
    metrology_test::SimulatedRun run(plan, {}, 1);
    run.measure();
    const auto trims = metrology::propose_trims(plan, plan.fixture.equipment, run.seen);
    run.write_trims(trims->gain, trims->offset);
    run.power_cycle();
    run.verify();
    std::size_t checks = 0;
    for (auto _ : state) {
        const auto result = metrology::judge(plan, plan.fixture.equipment, run.seen);
        checks = result.checks.size();
        benchmark::DoNotOptimize(result);
    }
    state.counters["checks"] = static_cast<double>(checks);
    state.counters["times_floor"] = ratio_of(
        [&] { benchmark::DoNotOptimize(metrology::judge(plan, plan.fixture.equipment, run.seen)); },
        [&] { benchmark::DoNotOptimize(sums_of(run.seen)); });
}
BENCHMARK(judge_unit)->Arg(1)->Arg(2)->Unit(benchmark::kMicrosecond);

// Eight readings at four references and open, with a drift. Correlated: open readings share a part.
struct EightReadings {
    std::vector<double> design, y, v;
    explicit EightReadings(bool correlated) : v(64, 0.0) {
        for (std::size_t i = 0; i < 8; ++i) {
            const double s = i % 2 == 0 ? 0.0 : 0.5 * static_cast<double>(i);
            design.insert(design.end(), {1.0, s, static_cast<double>(i) - 3.5});
            y.push_back(2000.0 + 400.0 * s);
            for (std::size_t k = 0; k < 8 && correlated; ++k)
                if (i % 2 == 0 && k % 2 == 0) v[i * 8 + k] = 0.05;
            v[i * 8 + i] += 0.25 + s;
        }
    }
};

// The peer: whitened rows through Eigen's Householder factorisation of a fixed size, estimate
// alone.
double peer_estimate(const EightReadings& p) {
    using Tall = Eigen::Matrix<double, 8, 3>;
    const Eigen::Map<const Eigen::Matrix<double, 8, 3, Eigen::RowMajor>> rows(p.design.data());
    const Eigen::Map<const Eigen::Matrix<double, 8, 1>> y(p.y.data());
    const Eigen::Map<const Eigen::Matrix<double, 8, 8>> v(p.v.data());
    const Eigen::LLT<Eigen::Matrix<double, 8, 8>> factor(v);
    const Tall whitened = factor.matrixL().solve(Tall(rows));
    const Eigen::Matrix<double, 8, 1> z = factor.matrixL().solve(Eigen::Matrix<double, 8, 1>(y));
    const Eigen::Vector3d estimate = whitened.householderQr().solve(z);
    return estimate.sum();
}

void fit_generalised(benchmark::State& state) {
    const EightReadings p(state.range(0) != 0);
    const auto ours = [&] {
        benchmark::DoNotOptimize(statistics::fit_generalised(p.design, 3, p.y, p.v));
    };
    for (auto _ : state) ours();
    state.SetItemsProcessed(state.iterations());
    state.counters["times_peer"] =
        ratio_of(ours, [&] { benchmark::DoNotOptimize(peer_estimate(p)); });
}
BENCHMARK(fit_generalised)->Arg(0)->Arg(1);

// Eight points: slope, intercept and their covariance.
struct EightPoints {
    std::array<double, 8> x{0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5};
    std::array<double, 8> y{2000.3, 2199.8, 2400.1, 2600.4, 2799.7, 3000.2, 3199.9, 3400.0};
    std::array<double, 8> u{0.5, 0.6, 0.5, 0.7, 0.8, 0.6, 0.9, 1.0};
};

// The same with every reading correlated with every other.
void line_of_correlated(benchmark::State& state) {
    const EightPoints p;
    std::vector<double> v(64, 0.05);
    for (std::size_t i = 0; i < 8; ++i) v[i * 8 + i] += p.u[i] * p.u[i];
    for (auto _ : state) benchmark::DoNotOptimize(statistics::line_of_correlated(p.x, p.y, v));
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(line_of_correlated);

// The floor of a line: a bare loop over the points, twice, without covariance or checks.
double bare_slope(const EightPoints& p) {
    double mx = 0.0, my = 0.0, sxx = 0.0, sxy = 0.0;
    for (std::size_t i = 0; i < 8; ++i) {
        mx += p.x[i];
        my += p.y[i];
    }
    mx /= 8.0;
    my /= 8.0;
    for (std::size_t i = 0; i < 8; ++i) {
        sxx += (p.x[i] - mx) * (p.x[i] - mx);
        sxy += (p.x[i] - mx) * (p.y[i] - my);
    }
    return sxy / sxx;
}

void line_of_equal(benchmark::State& state) {
    EightPoints p;
    const auto ours = [&] { benchmark::DoNotOptimize(statistics::line_of_equal(p.x, p.y)); };
    for (auto _ : state) ours();
    state.SetItemsProcessed(state.iterations());
    state.counters["times_floor"] = ratio_of(ours, [&] {
        benchmark::DoNotOptimize(p);
        benchmark::DoNotOptimize(bare_slope(p));
    });
}
BENCHMARK(line_of_equal);

void line_of_weighted(benchmark::State& state) {
    const EightPoints p;
    for (auto _ : state) benchmark::DoNotOptimize(statistics::line_of_weighted(p.x, p.y, p.u));
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(line_of_weighted);

}  // namespace
}  // namespace padtrim
