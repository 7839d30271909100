#include "db/statistics/moments.hpp"

#include <algorithm>
#include <cmath>

namespace padtrim::statistics {

namespace {

double exact_difference_mean(std::span<const double> values, double guess) {
    double sum = 0.0;
    for (const double value : values) sum += value - guess;
    return sum / static_cast<double>(values.size());
}

}  // namespace

Moments Moments::of(std::span<const double> values) {
    Moments result;
    if (values.empty()) return result;
    const double n = static_cast<double>(values.size());
    // Sums about the first value first: large common parts do not eat digits.
    double mean = values[0] + exact_difference_mean(values, values[0]);
    mean += exact_difference_mean(values, mean);
    double squares = 0.0, rest = 0.0;
    for (const double value : values) {
        const double d = value - mean;
        squares += d * d;
        rest += d;
    }
    result.count_ = values.size();
    result.mean_ = mean;
    const double about = squares - rest * rest / n;
    result.squares_ = about < 0.0 ? 0.0 : about;  // what is no number stays none
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    result.lowest_ = *low;
    result.highest_ = *high;
    return result;
}

Moments Moments::from_parts(std::uint64_t count, double mean, double squares, double lowest,
                            double highest) {
    Moments result;
    result.count_ = count;
    result.mean_ = mean;
    result.squares_ = squares;
    result.lowest_ = lowest;
    result.highest_ = highest;
    return result;
}

void Moments::add(double value) {
    merge(from_parts(1, value, 0.0, value, value));
}

void Moments::merge(const Moments& other) {
    if (other.count_ == 0) return;
    if (count_ == 0) {
        *this = other;
        return;
    }
    const double a = static_cast<double>(count_), b = static_cast<double>(other.count_);
    const double difference = other.mean_ - mean_;
    mean_ += difference * (b / (a + b));
    squares_ += other.squares_ + difference * difference * (a * b / (a + b));
    lowest_ = std::min(lowest_, other.lowest_);
    highest_ = std::max(highest_, other.highest_);
    count_ += other.count_;
}

namespace {

Checked<double> finite(double value) {
    if (!std::isfinite(value)) return Flaw::not_finite;
    return value;
}

}  // namespace

Checked<double> Moments::mean() const {
    if (count_ < 1) return Flaw::too_few_points;
    return finite(mean_);
}

Checked<double> Moments::variance() const {
    if (count_ < 2) return Flaw::too_few_points;
    if (squares_ < 0.0) return Flaw::not_positive;
    return finite(squares_ / static_cast<double>(count_ - 1));
}

Checked<double> Moments::standard_deviation() const {
    const Checked<double> v = variance();
    if (!v) return v.error();
    return std::sqrt(*v);
}

Checked<double> Moments::lowest() const {
    if (count_ < 1) return Flaw::too_few_points;
    if (!std::isfinite(mean_)) return Flaw::not_finite;
    return finite(lowest_);
}

Checked<double> Moments::highest() const {
    if (count_ < 1) return Flaw::too_few_points;
    if (!std::isfinite(mean_)) return Flaw::not_finite;
    return finite(highest_);
}

}  // namespace padtrim::statistics
