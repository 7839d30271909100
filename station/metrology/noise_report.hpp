// The noise of one channel in detail: how it grows with the number of scans, whether it averages
// out, and whether a stranger or a tone is in it.
//
// Pure; from the same readings as the noise check. Filtered readings are made white first
// (e_i = x_i - r x_i-1, r the unit's correlation), for the tests of strangers and tones take
// independent readings for granted; amplitudes are those before that.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/statistics/series.hpp"
#include "station/metrology/judge.hpp"

namespace padtrim::metrology {

struct AllanPoint {
    std::size_t scans = 1;  // averaged
    double deviation = 0.0;
    double white = 0.0;  // what the same noise gives when it averages out
};

struct NoiseReport {
    int channel = 0, frequency = 0;
    std::string key;
    std::size_t scans = 0;
    double standard = 0.0;     // counts, of one reading
    double correlation = 0.0;  // of neighbouring readings
    double peak_to_peak = 0.0;
    double expected_peak_to_peak = 0.0;           // of as many independent normal readings
    double expected_of_ten_times = 0.0;           // of ten times as many
    std::vector<AllanPoint> allan;                // 1, 2, 4, ... scans
    std::optional<statistics::Outlier> stranger;  // at 1 % two-sided; index counts scans from 0
    std::optional<statistics::Tone> tone;  // the strongest; its significance says if it is one
    std::optional<double> tone_hertz;      // lowest frequency that would show like this
};

// The significance that a stranger or a tone has to reach to be named.
inline constexpr double noise_significance = 0.01;

// Of the step's longest stretch in one situation. The problem says why there is none.
[[nodiscard]] Trimmed<NoiseReport> noise_report(const language::Plan& plan,
                                                const language::EquipmentRecord& references,
                                                const record::Observations& observations,
                                                std::size_t channel, std::size_t frequency);

[[nodiscard]] std::string text_of(const NoiseReport& report);

}  // namespace padtrim::metrology
