#include "station/metrology/noise_report.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "db/statistics/range.hpp"
#include "station/metrology/case.hpp"
#include "station/metrology/state_means.hpp"

namespace padtrim::metrology {

namespace {

struct Stretched {
    std::vector<double> counts;
    std::vector<double> seconds;
};

Stretched stretched(const record::Readings& readings, std::size_t series) {
    Stretched stretch;
    std::uint32_t last = 0;
    for (const record::Scan& scan : readings.scans) {
        const bool repeated = !stretch.counts.empty() && scan.counter == last;
        if (repeated || scan.counts.size() <= series) continue;
        last = scan.counter;
        stretch.counts.push_back(scan.counts[series]);
        stretch.seconds.push_back(static_cast<double>(scan.at_us) * 1e-6);
    }
    return stretch;
}

// What the filter still held of the state before is no noise: it dies away by `kept` a scan.
void take_off_memory(std::vector<double>& counts, double mean, double kept) {
    double memory = counts.empty() ? 0.0 : counts[0] - mean;
    for (double& value : counts) {
        value -= memory;
        memory *= kept;
    }
}

std::vector<double> whitened(const std::vector<double>& counts, double r) {
    std::vector<double> white;
    for (std::size_t i = 1; i < counts.size(); ++i) white.push_back(counts[i] - r * counts[i - 1]);
    return white;
}

void add_allan(NoiseReport& report, const std::vector<double>& counts) {
    const double r = report.correlation;
    for (std::size_t m = 1; 2 * m + 1 <= counts.size(); m *= 2) {
        const auto deviation = statistics::allan_deviation(counts, m);
        if (!deviation) return;
        // Half the expected square of the difference of two neighbouring means of m readings.
        const auto mean_squared = [&](std::size_t n) {
            return statistics::mean_inflation(n, r) / static_cast<double>(n);
        };
        const double square = 2.0 * (mean_squared(m) - mean_squared(2 * m));
        report.allan.push_back({m, *deviation, report.standard * std::sqrt(std::max(0.0, square))});
    }
}

void add_tests(NoiseReport& report, const Stretched& stretch) {
    const double r = report.correlation;
    const auto white = whitened(stretch.counts, r);
    const auto stranger = statistics::grubbs(white, noise_significance);
    if (stranger) {
        report.stranger = *stranger;
        ++report.stranger->index;  // the first scan has no innovation
    }
    const auto tone = statistics::strongest_tone(white);
    if (!tone) return;
    report.tone = *tone;
    const double turn = 2.0 * std::numbers::pi * tone->frequency;
    report.tone->amplitude /= std::sqrt(1.0 - 2.0 * r * std::cos(turn) + r * r);
    const double lasted = stretch.seconds.back() - stretch.seconds.front();
    const double pauses = static_cast<double>(stretch.seconds.size() - 1);
    if (lasted > 0.0) report.tone_hertz = tone->frequency * pauses / lasted;
}

const language::Step* noise_step(const language::Recipe& recipe) {
    for (const language::Step& step : recipe.steps) {
        if (std::holds_alternative<language::NoiseStep>(step.body)) return &step;
    }
    return nullptr;
}

}  // namespace

Trimmed<NoiseReport> noise_report(const language::Plan& plan,
                                  const language::EquipmentRecord& references,
                                  const record::Observations& observations, std::size_t channel,
                                  std::size_t frequency) {
    const Case unit(plan, references, observations);
    const language::Step* step = noise_step(plan.recipe);
    const int number = static_cast<int>(channel);
    if (!step) return TrimProblem{-1, "The recipe has no step that measures noise."};
    if (channel >= unit.channels() || frequency >= unit.frequencies()) {
        return TrimProblem{number, "The product has no such channel or frequency."};
    }
    const auto states = states_of(observations, step->name, record::Reading::raw, unit.series());
    const auto longest =
        std::max_element(states.begin(), states.end(),
                         [](const StateMean& a, const StateMean& b) { return a.scans < b.scans; });
    const Scatter scatter = scatter_of(states);
    if (longest == states.end() || !scatter.known()) {
        return TrimProblem{number, "The noise of " + unit.place_of(channel) + " was not read."};
    }
    const std::size_t series = unit.series_of(channel, frequency);
    Stretched stretch = stretched(*longest->readings, series);
    // Where a filter was undone its readings scatter by what it lets through, and are alike by what
    // it keeps.
    const double kept = scatter.memory;
    if (kept > 0.0) take_off_memory(stretch.counts, longest->series[series].mean, kept);
    NoiseReport report;
    report.channel = number;
    report.frequency = static_cast<int>(frequency);
    report.key = unit.key_of(channel);
    report.scans = stretch.counts.size();
    report.standard = std::sqrt(scatter.variance[series] * (1.0 - kept) / (1.0 + kept));
    report.correlation = kept > 0.0 ? kept : scatter.correlation;
    const auto [low, high] = std::minmax_element(stretch.counts.begin(), stretch.counts.end());
    report.peak_to_peak = *high - *low;
    if (const auto range = statistics::range_of_normal(report.scans)) {
        report.expected_peak_to_peak = report.standard * range->mean;
    }
    if (const auto range = statistics::range_of_normal(10 * report.scans)) {
        report.expected_of_ten_times = report.standard * range->mean;
    }
    add_allan(report, stretch.counts);
    add_tests(report, stretch);
    return report;
}

std::string text_of(const NoiseReport& report) {
    char line[200];
    std::snprintf(line, sizeof line,
                  "  noise %.4g counts over %zu scans, correlation %.2f; peak-to-peak %.4g, of "
                  "normal noise %.4g, of ten times the scans %.4g\n",
                  report.standard, report.scans, report.correlation, report.peak_to_peak,
                  report.expected_peak_to_peak, report.expected_of_ten_times);
    std::string text = line;
    text += "  Allan deviation (in brackets when noise averages out):";
    for (const AllanPoint& p : report.allan) {
        std::snprintf(line, sizeof line, " %zu: %.3g (%.3g)", p.scans, p.deviation, p.white);
        text += line;
    }
    text += "\n";
    if (report.stranger && report.stranger->significant()) {
        std::snprintf(
            line, sizeof line, "  scan %zu is a stranger: %.3g standard deviations, %.3g allowed\n",
            report.stranger->index + 1, report.stranger->statistic, report.stranger->critical);
        text += line;
    }
    if (report.tone && report.tone->significance < noise_significance) {
        std::snprintf(line, sizeof line, "  a tone of %.3g counts at %.4g cycles a scan",
                      report.tone->amplitude, report.tone->frequency);
        text += line;
        if (report.tone_hertz) {
            std::snprintf(line, sizeof line, " (%.4g Hz, or above half the scan rate)",
                          *report.tone_hertz);
            text += line;
        }
        text += "\n";
    }
    return text;
}

}  // namespace padtrim::metrology
