#include "db/statistics/series.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::statistics {

Checked<double> allan_deviation(std::span<const double> readings, std::size_t m) {
    if (m == 0) return Flaw::out_of_domain;
    if (readings.size() < 2 * m + 1) return Flaw::too_few_points;
    if (!all_finite(readings)) return Flaw::not_finite;
    // Difference of neighbouring sums of m readings, slid along by one.
    double difference = 0.0;
    for (std::size_t i = 0; i < m; ++i) difference += readings[m + i] - readings[i];
    double squares = difference * difference;
    std::size_t count = 1;
    for (std::size_t i = 1; i + 2 * m <= readings.size(); ++i, ++count) {
        difference += readings[i - 1] - 2.0 * readings[i + m - 1] + readings[i + 2 * m - 1];
        squares += difference * difference;
    }
    if (!std::isfinite(squares)) return Flaw::not_finite;
    const double length = static_cast<double>(m);
    return std::sqrt(squares / (2.0 * static_cast<double>(count))) / length;
}

Checked<Outlier> grubbs(std::span<const double> readings, double significance) {
    if (readings.size() < 3) return Flaw::too_few_points;
    if (!all_finite(readings)) return Flaw::not_finite;
    if (!(significance > 0.0 && significance < 1.0)) return Flaw::out_of_domain;
    const Moments moments = Moments::of(readings);
    // Squares of huge readings are no numbers any more.
    if (!moments.standard_deviation()) return Flaw::not_finite;
    const double mean = *moments.mean(), deviation = *moments.standard_deviation();
    if (deviation <= 0.0) return Flaw::not_positive;
    Outlier outlier;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const double distance = std::abs(readings[i] - mean) / deviation;
        if (distance <= outlier.statistic) continue;
        outlier.statistic = distance;
        outlier.index = i;
    }
    const double n = static_cast<double>(readings.size());
    const auto t = student_quantile(1.0 - significance / (2.0 * n), n - 2.0);
    if (!t) return t.error();
    outlier.critical = (n - 1.0) / std::sqrt(n) * std::sqrt(*t * *t / (n - 2.0 + *t * *t));
    return outlier;
}

namespace {

// Share of the variance at one Fourier frequency, and the amplitude of its sine.
struct Line {
    double power = 0.0, amplitude = 0.0;
};

Line line_at(std::span<const double> readings, double mean, std::size_t k) {
    const double n = static_cast<double>(readings.size());
    const double turn = 2.0 * std::numbers::pi * static_cast<double>(k) / n;
    double c = 0.0, s = 0.0;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const double phase = turn * static_cast<double>(i);
        c += (readings[i] - mean) * std::cos(phase);
        s += (readings[i] - mean) * std::sin(phase);
    }
    const double power = c * c + s * s;
    return {power, 2.0 * std::sqrt(power) / n};
}

// Power at half the rate of the readings: one figure, where the other frequencies have a cosine and
// a sine.
double alternating(std::span<const double> readings, double mean) {
    double sum = 0.0;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        sum += (i % 2 == 0 ? 1.0 : -1.0) * (readings[i] - mean);
    }
    return sum * sum;
}

// P(g > x) for m ordinates: sum over j of (-1)^(j-1) binom(m, j) (1 - j x)^(m-1).
double fisher_tail(double x, std::size_t m) {
    double sum = 0.0, binomial = 1.0;
    const double count = static_cast<double>(m);
    // The first term alone bounds the sum from above; where it is large the rest cancels digits.
    if (count * std::pow(1.0 - x, count - 1.0) > 3.0) return 1.0;
    for (std::size_t j = 1; static_cast<double>(j) * x < 1.0 && j <= m; ++j) {
        const double jd = static_cast<double>(j);
        binomial *= (count - jd + 1.0) / jd;
        const double term = binomial * std::pow(1.0 - jd * x, count - 1.0);
        sum += (j % 2 == 1 ? term : -term);
        if (term < 1e-18) break;
    }
    return std::min(1.0, std::max(0.0, sum));
}

}  // namespace

Checked<Tone> strongest_tone(std::span<const double> readings) {
    if (readings.size() < 10) return Flaw::too_few_points;
    if (!all_finite(readings)) return Flaw::not_finite;
    const double mean = *Moments::of(readings).mean();
    const std::size_t ordinates = (readings.size() - 1) / 2;
    double total = 0.0, strongest = 0.0;
    Tone tone;
    for (std::size_t k = 1; k <= ordinates; ++k) {
        const Line line = line_at(readings, mean, k);
        total += line.power;
        if (line.power <= strongest) continue;
        strongest = line.power;
        tone.frequency = static_cast<double>(k) / static_cast<double>(readings.size());
        tone.amplitude = line.amplitude;
    }
    const bool even = readings.size() % 2 == 0;
    const double half = even ? alternating(readings, mean) : 0.0;
    if (!std::isfinite(total + half)) return Flaw::not_finite;
    if (total + half <= 0.0) return Flaw::not_positive;
    if (total > 0.0) {
        tone.share = strongest / total;
        tone.significance = fisher_tail(tone.share, ordinates);
    }
    if (!even) return tone;
    // Two tests share the significance in proportion to their frequencies (Bonferroni).
    const double m = static_cast<double>(ordinates), n = static_cast<double>(readings.size());
    const double by_fisher = std::min(1.0, tone.significance * (m + 1.0) / m);
    const double ratio = total > 0.0 ? half * m / total : std::numeric_limits<double>::max();
    const auto tail = fisher_upper_probability(ratio, 1.0, 2.0 * m);
    if (!tail) return tail.error();
    const double by_half = std::min(1.0, *tail * (m + 1.0));
    tone.significance = by_fisher;
    if (by_half >= by_fisher) return tone;
    return Tone{0.5, std::sqrt(half) / n, half / (half + 2.0 * total), by_half};
}

}  // namespace padtrim::statistics
