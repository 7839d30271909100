#include "station/metrology/touch_report.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "station/metrology/step_checks.hpp"
#include "station/metrology/touch_readings.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

namespace {

template <class Body>
const language::Step* first_step_of(const language::Recipe& recipe) {
    for (const language::Step& step : recipe.steps) {
        if (std::holds_alternative<Body>(step.body)) return &step;
    }
    return nullptr;
}

// The largest change, by size, among a key's channels.
Measured change_of_key(const Case& unit, const TouchReadings& readings, const Press& press,
                       const language::Key& key, std::size_t frequency) {
    Measured most;
    for (const std::uint16_t channel : key.channels) {
        if (channel >= unit.channels()) continue;
        const Measured moved = readings.change(press, unit.series_of(channel, frequency));
        if (std::abs(moved.value) >= std::abs(most.value)) most = moved;
    }
    return most;
}

CrosstalkRow row_of(const Case& unit, const TouchReadings& readings, const Press& press,
                    const Measured& response, std::size_t frequency) {
    CrosstalkRow row{press.key->name, {}, {}};
    for (const language::Key& key : unit.map().keys) {
        if (&key == press.key) {
            row.percent.push_back(100.0);
            row.standard.push_back(0.0);
            continue;
        }
        const Measured moved = change_of_key(unit, readings, press, key, frequency);
        const double share = moved.value / response.value;
        row.percent.push_back(100.0 * share);
        row.standard.push_back(100.0 * std::hypot(moved.standard, share * response.standard) /
                               response.value);
    }
    return row;
}

const LineFit* line_at(const std::vector<FittedChannel>& lines, int channel, int frequency) {
    for (const FittedChannel& fitted : lines) {
        if (fitted.channel == channel && fitted.frequency == frequency && fitted.line) {
            return &*fitted.line;
        }
    }
    return nullptr;
}

// The change of one channel at every frequency, over the gain there; empty without all lines.
std::vector<FrequencyChange> normalised(const Case& unit, const TouchReadings& readings,
                                        const Press& press,
                                        const std::vector<FittedChannel>& lines) {
    std::vector<FrequencyChange> changes;
    const std::uint16_t channel = readings.strongest(press, 0);
    for (std::size_t f = 0; f < unit.frequencies(); ++f) {
        const LineFit* line = line_at(lines, channel, static_cast<int>(f));
        if (!line || line->gain == 0.0) return {};
        const Measured moved = readings.change(press, unit.series_of(channel, f));
        changes.push_back(over_gain({moved.value, moved.standard}, *line));
    }
    return changes;
}

}  // namespace

Checked<CrosstalkMatrix> crosstalk_matrix(const language::Plan& plan,
                                          const language::EquipmentRecord& references,
                                          const record::Observations& observations,
                                          std::size_t frequency) {
    const Case unit(plan, references, observations);
    if (frequency >= unit.frequencies()) return Flaw::out_of_domain;
    const language::Step* step = first_step_of<language::TouchStep>(plan.recipe);
    if (!step) return Flaw::too_few_points;
    const TouchReadings readings(unit, step->name);
    if (!readings.known()) return Flaw::too_few_points;
    CrosstalkMatrix matrix;
    for (const language::Key& key : unit.map().keys) matrix.keys.push_back(key.name);
    for (const language::Key& key : unit.map().keys) {
        const auto press = readings.press_of(key);
        if (!press) continue;
        const Measured response = readings.change(
            *press, unit.series_of(readings.strongest(*press, frequency), frequency));
        // A ratio to no response says nothing.
        if (response.value <= 3.0 * response.standard) continue;
        matrix.rows.push_back(row_of(unit, readings, *press, response, frequency));
    }
    if (matrix.rows.empty()) return Flaw::too_few_points;
    return matrix;
}

std::vector<KeyFrequencies> frequencies_compared(const language::Plan& plan,
                                                 const language::EquipmentRecord& references,
                                                 const record::Observations& observations,
                                                 double significance) {
    const Case unit(plan, references, observations);
    const language::Step* touch = first_step_of<language::TouchStep>(plan.recipe);
    const language::Step* fit = first_step_of<language::GainOffsetStep>(plan.recipe);
    std::vector<KeyFrequencies> all;
    if (!touch || !fit || unit.frequencies() < 2) return all;
    const TouchReadings readings(unit, touch->name);
    if (!readings.known()) return all;
    const auto lines = fitted_channels(unit, fit->name);
    for (const language::Key& key : unit.map().keys) {
        const auto press = readings.press_of(key);
        if (!press) continue;
        const auto changes = normalised(unit, readings, *press, lines);
        const auto compared = odd_frequency(changes, significance);
        if (!compared) continue;
        KeyFrequencies entry{key.name, {}, *compared};
        double mean = 0.0;
        for (const auto& c : changes) mean += c.change / static_cast<double>(changes.size());
        for (const auto& c : changes) entry.relative.push_back(c.change / mean);
        all.push_back(std::move(entry));
    }
    return all;
}

std::string text_of(const CrosstalkMatrix& matrix) {
    std::string text = "  touched";
    char cell[48];
    for (const std::string& key : matrix.keys) {
        std::snprintf(cell, sizeof cell, " %8.8s", key.c_str());
        text += cell;
    }
    text += "\n";
    for (const CrosstalkRow& row : matrix.rows) {
        std::snprintf(cell, sizeof cell, "  %-7.7s", row.touched.c_str());
        text += cell;
        for (const double percent : row.percent) {
            std::snprintf(cell, sizeof cell, " %8.2f", percent);
            text += cell;
        }
        text += "\n";
    }
    return text;
}

std::string text_of(const KeyFrequencies& key, const std::vector<std::string>& kilohertz) {
    std::string text = "  " + key.key + ":";
    char cell[64];
    for (std::size_t f = 0; f < key.relative.size(); ++f) {
        const std::string name = f < kilohertz.size() ? kilohertz[f] : std::to_string(f);
        std::snprintf(cell, sizeof cell, " %s kHz %.4f", name.c_str(), key.relative[f]);
        text += cell;
    }
    if (key.compared.odd) {
        const std::size_t odd = *key.compared.odd;
        std::snprintf(cell, sizeof cell, " kHz is disturbed, %.1f standard uncertainties off\n",
                      key.compared.score[odd]);
        return text + "; " + (odd < kilohertz.size() ? kilohertz[odd] : std::to_string(odd)) + cell;
    }
    return text + "\n";
}

}  // namespace padtrim::metrology
