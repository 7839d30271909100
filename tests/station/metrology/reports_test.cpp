// What the detailed reports say of simulated units whose faults are known.
#include <cmath>
#include <numbers>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/metrology/noise_report.hpp"
#include "station/metrology/touch_report.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::Physics;
using metrology_test::SimulatedRun;
using statistics::Flaw;
using testing::HasSubstr;

language::Plan many_frequencies(std::size_t count) {
    language::Plan plan = *test_support::demo_plan();
    plan.map.frequencies.clear();
    for (std::size_t f = 0; f < count; ++f) {
        plan.map.frequencies.emplace_back(200.0 + 50.0 * static_cast<double>(f));
    }
    return plan;
}

SimulatedRun measured(const language::Plan& plan, const Physics& physics, std::uint64_t seed = 3) {
    SimulatedRun run(plan, physics, seed);
    run.measure();
    return run;
}

// The readings of one step, to put a disturbance into.
template <class Change>
void disturb(record::Observations& seen, const std::string& step, Change change) {
    for (auto& readings : seen.readings) {
        if (readings.step != step) continue;
        for (std::size_t i = 0; i < readings.scans.size(); ++i) {
            change(readings.situation, readings.scans[i].counts, i);
        }
    }
}

Trimmed<NoiseReport> noise_of(const language::Plan& plan, const record::Observations& seen,
                              std::size_t channel = 1, std::size_t frequency = 0) {
    return noise_report(plan, plan.fixture.equipment, seen, channel, frequency);
}

TEST(NoiseReport, FindsTheNoiseThatIsThereAndNothingElse) {
    const language::Plan plan = *test_support::demo_plan();
    int tones = 0, strangers = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        SimulatedRun run(plan, {.noise = 4.0}, seed);
        run.noise(128);
        const auto report = noise_of(plan, run.seen);
        ASSERT_TRUE(report) << report.error().what;
        // The deviation of a deviation of 128 readings is 6 % (JCGM 100 E.4.3).
        EXPECT_NEAR(report->standard, 4.0, 4.0 * 0.0625 * 4.5);
        tones += report->tone->significance < noise_significance ? 1 : 0;
        strangers += report->stranger->significant() ? 1 : 0;
    }
    EXPECT_LE(tones, 9);  // 1 % of 200, four standard deviations above
    EXPECT_LE(strangers, 9);
}

TEST(NoiseReport, AllanDeviationFollowsTheFiltersCorrelation) {
    const language::Plan plan = *test_support::demo_plan();
    for (const double r : {0.0, 0.6}) {
        SimulatedRun run(plan, {.noise = 6.0, .correlation = r}, 4);
        run.noise(2048);
        const auto report = noise_of(plan, run.seen);
        ASSERT_TRUE(report);
        ASSERT_GE(report->allan.size(), 8U);
        for (std::size_t i = 0; i < 6; ++i) {
            const auto& point = report->allan[i];
            EXPECT_NEAR(point.deviation / point.white, 1.0, 0.2) << r << " " << point.scans;
        }
    }
}

TEST(NoiseReport, NamesAStrangerByItsScanAlsoInFilteredReadings) {
    const language::Plan plan = *test_support::demo_plan();
    for (const double r : {0.0, 0.6}) {
        SimulatedRun run(plan, {.noise = 3.0, .correlation = r}, 5);
        run.noise(64);
        disturb(run.seen, "noise", [](const auto&, auto& counts, std::size_t i) {
            if (i == 40) counts[2] += 40;
        });
        const auto report = noise_of(plan, run.seen);
        ASSERT_TRUE(report && report->stranger);
        EXPECT_TRUE(report->stranger->significant());
        EXPECT_EQ(report->stranger->index, 40U);
        EXPECT_THAT(text_of(*report), HasSubstr("scan 41 is a stranger"));
    }
}

TEST(NoiseReport, NamesAToneWithItsFrequencyAndAmplitude) {
    const language::Plan plan = *test_support::demo_plan();
    for (const double r : {0.0, 0.5}) {
        SimulatedRun run(plan, {.noise = 2.0, .correlation = r}, 6);
        run.noise(200);
        disturb(run.seen, "noise", [](const auto&, auto& counts, std::size_t i) {
            const double turn = 2.0 * std::numbers::pi * 0.17 * static_cast<double>(i);
            counts[2] += static_cast<std::int32_t>(std::lround(8.0 * std::sin(turn)));
        });
        const auto report = noise_of(plan, run.seen);
        ASSERT_TRUE(report && report->tone && report->tone_hertz);
        EXPECT_LT(report->tone->significance, 1e-6);
        EXPECT_NEAR(report->tone->frequency, 0.17, 0.0051);
        EXPECT_NEAR(report->tone->amplitude, 8.0, 1.0);
        EXPECT_NEAR(*report->tone_hertz, 0.17 / 0.005, 1.1);  // a scan takes 5 ms
        EXPECT_THAT(text_of(*report), HasSubstr("a tone of"));
    }
}

// The step before left the filter 400 counts off: that dies away, and is no noise.
TEST(NoiseReport, DoesNotTakeTheFiltersMemoryForNoise) {
    const language::Plan plan = *test_support::demo_plan();
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        SimulatedRun run(plan, {.noise = 6.0}, seed);
        run.noise(256);
        double memory = 400.0;
        disturb(run.seen, "noise", [&](const auto&, auto& counts, std::size_t) {
            // The product's filter: what it shows is half of its last value and half of the new.
            for (auto& count : counts) count += static_cast<std::int32_t>(std::lround(memory));
            memory *= 0.5;
        });
        const auto report = noise_of(plan, run.seen);
        ASSERT_TRUE(report);
        // As unfiltered readings that end where the filter's memory does: spread by 6 counts.
        EXPECT_LT(report->peak_to_peak, 6.0 * 9.0) << seed;
        EXPECT_FALSE(report->stranger && report->stranger->index < 4 &&
                     report->stranger->significant())
            << seed;
    }
    // Filtered for good: the noise shown is sqrt((1 - r) / (1 + r)) of that before the filter.
    SimulatedRun run(plan, {.noise = 12.0, .filter = 0.6}, 4);
    run.gain_and_offset();
    run.state("noise", "R4", {}, 12);
    run.noise(2048);
    const auto report = noise_of(plan, run.seen);
    ASSERT_TRUE(report);
    EXPECT_NEAR(report->standard, 12.0 * std::sqrt(0.4 / 1.6), 0.4);
    EXPECT_NEAR(report->correlation, 0.6, 0.05);
    EXPECT_LT(report->peak_to_peak, 6.0 * 9.0);
    for (std::size_t i = 0; i < 6; ++i)
        EXPECT_NEAR(report->allan[i].deviation / report->allan[i].white, 1.0, 0.2) << i;
}

TEST(NoiseReport, SaysWhyThereIsNone) {
    const language::Plan plan = *test_support::demo_plan();
    EXPECT_THAT(noise_of(plan, {}).error().what, HasSubstr("was not read"));
    EXPECT_THAT(noise_of(plan, {}, 99).error().what, HasSubstr("no such channel"));
    language::Plan none = plan;
    none.recipe.steps.clear();
    EXPECT_THAT(noise_of(none, {}).error().what, HasSubstr("no step that measures noise"));
}

TEST(CrosstalkMatrix, HoldsWhatEachTouchDoesToEveryKey) {
    const language::Plan plan = *test_support::demo_plan();
    const auto run = measured(plan, {.noise = 0.5, .neighbour = 0.04});
    const auto matrix = crosstalk_matrix(plan, plan.fixture.equipment, run.seen, 0);
    ASSERT_TRUE(matrix);
    ASSERT_EQ(matrix->rows.size(), plan.map.keys.size());
    for (std::size_t i = 0; i < matrix->rows.size(); ++i) {
        ASSERT_EQ(matrix->rows[i].percent.size(), plan.map.keys.size());
        for (std::size_t k = 0; k < plan.map.keys.size(); ++k) {
            const double standard = matrix->rows[i].standard[k];
            const double expected = i == k ? 100.0 : 4.0;
            EXPECT_NEAR(matrix->rows[i].percent[k], expected, 5.0 * standard);
        }
    }
    EXPECT_THAT(text_of(*matrix), HasSubstr("100.00"));
}

TEST(CrosstalkMatrix, LeavesOutAKeyThatDoesNotRespond) {
    const language::Plan plan = *test_support::demo_plan();
    const auto run = measured(plan, {.noise = 0.5, .touch = 0.0});
    const auto matrix = crosstalk_matrix(plan, plan.fixture.equipment, run.seen, 0);
    EXPECT_TRUE(!matrix || matrix->rows.size() <= 1U);
    EXPECT_EQ(crosstalk_matrix(plan, plan.fixture.equipment, {}, 0).error(), Flaw::too_few_points);
    EXPECT_EQ(crosstalk_matrix(plan, plan.fixture.equipment, run.seen, 9).error(),
              Flaw::out_of_domain);
}

// A touch of so many pF at every frequency, with whatever gain each has: the simulated finger adds
// the same counts to all, so it is scaled to each channel's gain first.
void scale_touches(const language::Plan& plan, const SimulatedRun& truth,
                   record::Observations& seen) {
    disturb(seen, "touch", [&](const auto& situation, auto& counts, std::size_t) {
        if (!situation.finger || !situation.finger->touching) return;
        const std::size_t count = plan.map.frequencies.size();
        for (std::size_t i = 0; i < counts.size(); ++i) {
            const double gain = truth.gain(i / count, i % count);
            counts[i] += static_cast<std::int32_t>(std::lround(gain * 1.5)) - 350;
        }
    });
}

TEST(FrequenciesCompared, NamesTheDisturbedOneOnEveryKey) {
    for (const std::size_t count : {3U, 5U, 8U}) {
        const language::Plan plan = many_frequencies(count);
        auto run = measured(plan, {.noise = 1.0, .neighbour = 1.0});
        scale_touches(plan, run, run.seen);
        disturb(run.seen, "touch", [&](const auto& situation, auto& counts, std::size_t) {
            if (!situation.finger || !situation.finger->touching) return;
            for (std::size_t i = 1; i < counts.size(); i += count) counts[i] += 60;
        });
        const auto keys = frequencies_compared(plan, plan.fixture.equipment, run.seen);
        ASSERT_EQ(keys.size(), plan.map.keys.size());
        for (const auto& key : keys) {
            ASSERT_TRUE(key.compared.odd) << key.key;
            EXPECT_EQ(*key.compared.odd, 1U);
        }
        EXPECT_THAT(text_of(keys[0], {"200", "250", "300"}), HasSubstr("250 kHz is disturbed"));
    }
}

TEST(FrequenciesCompared, AccusesNobodyWhenAllAgree) {
    const language::Plan plan = many_frequencies(4);
    int accused = 0, keys_seen = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        auto run = measured(plan, {.noise = 2.0, .neighbour = 1.0}, seed);
        scale_touches(plan, run, run.seen);
        for (const auto& key : frequencies_compared(plan, plan.fixture.equipment, run.seen)) {
            ++keys_seen;
            accused += key.compared.odd ? 1 : 0;
        }
    }
    ASSERT_GE(keys_seen, 400);
    // 1 % stated; four standard deviations above.
    EXPECT_LE(accused, 0.01 * keys_seen + 4.0 * std::sqrt(0.01 * keys_seen));
}

TEST(FrequenciesCompared, IsEmptyForOneFrequencyOrWithoutReadings) {
    const language::Plan one = many_frequencies(1);
    const auto run = measured(one, {});
    EXPECT_TRUE(frequencies_compared(one, one.fixture.equipment, run.seen).empty());
    const language::Plan three = many_frequencies(3);
    EXPECT_TRUE(frequencies_compared(three, three.fixture.equipment, {}).empty());
}

}  // namespace
}  // namespace padtrim::metrology
