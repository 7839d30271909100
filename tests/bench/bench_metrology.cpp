// Speed of judging one unit and of one fit.
#include <array>

#include <benchmark/benchmark.h>

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
}
BENCHMARK(judge_unit)->Arg(1)->Arg(2)->Unit(benchmark::kMicrosecond);

void fit_generalised(benchmark::State& state) {
    const std::size_t n = 9;
    std::vector<double> design, y, v(n * n, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
        const double s = i % 2 == 0 ? 0.0 : 0.5 * static_cast<double>(i);
        design.insert(design.end(), {1.0, s, static_cast<double>(i) - 4.0});
        y.push_back(2000.0 + 400.0 * s);
        v[i * n + i] = 0.25 + s;
    }
    for (auto _ : state) benchmark::DoNotOptimize(statistics::fit_generalised(design, 3, y, v));
}
BENCHMARK(fit_generalised);

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

void line_of_equal(benchmark::State& state) {
    const EightPoints p;
    for (auto _ : state) benchmark::DoNotOptimize(statistics::line_of_equal(p.x, p.y));
    state.SetItemsProcessed(state.iterations());
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
