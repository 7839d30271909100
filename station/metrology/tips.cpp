#include "station/metrology/tips.hpp"

#include <cmath>

namespace padtrim::metrology {

namespace {

// Half-width of what a room without a sensor may depart from the characterisation, K.
constexpr double unmeasured_half_width = 5.0;

TemperatureDoubt temperature_of(const language::FixtureProfile& profile,
                                const language::EquipmentRecord& references,
                                const record::Observations& observations) {
    TemperatureDoubt t;
    t.coefficient = references.temperature_coefficient.value() * 1e-6;
    t.coefficient_standard =
        references.temperature_coefficient_half_width.value() * 1e-6 / std::sqrt(3.0);
    t.read = !observations.climate.empty();
    if (!t.read) {
        t.standard = unmeasured_half_width / std::sqrt(3.0);
        return t;
    }
    double sum = 0.0;
    for (const record::ClimateRead& read : observations.climate) sum += read.temperature.value();
    const double mean = sum / static_cast<double>(observations.climate.size());
    const double expanded =
        profile.climate ? profile.climate->temperature_expanded_uncertainty.value() : 0.0;
    t.above = mean - references.temperature.value();
    t.standard = 0.5 * expanded;
    return t;
}

double standard_of(Picofarad expanded, double coverage_factor) {
    return coverage_factor > 0.0 ? expanded.value() / coverage_factor : expanded.value();
}

TipStep tip_step(const language::CharacterisedStep& step, const TemperatureDoubt& t,
                 double definition_relative) {
    TipStep tip;
    tip.value = step.value.value() * (1.0 + t.coefficient * t.above);
    const double all = standard_of(step.expanded_uncertainty, step.coverage_factor);
    tip.common = step.common_relative * step.value.value();
    // The certificate's uncertainty holds both parts.
    tip.independent = std::sqrt(std::max(0.0, all * all - tip.common * tip.common));
    tip.temperature = t.relative() * step.value.value();
    tip.definition = definition_relative * step.value.value();
    return tip;
}

}  // namespace

double TemperatureDoubt::relative() const {
    return std::sqrt(coefficient * coefficient * standard * standard +
                     coefficient_standard * coefficient_standard *
                         (above * above + standard * standard));
}

double TipStep::standard() const {
    return std::sqrt(independent * independent + common * common + temperature * temperature +
                     definition * definition);
}

Tips::Tips(const language::FixtureProfile& profile, const language::EquipmentRecord& references,
           const record::Observations& observations, std::size_t channels)
    : temperature_(temperature_of(profile, references, observations)),
      flexing_(references.flexing.value() / std::sqrt(3.0)),
      rows_(channels) {
    for (const language::CharacterisedStep& step : references.steps) {
        if (step.nest != observations.nest || step.channel >= channels) continue;
        int number = number_of(step.reference);
        if (number < 0) {
            number = static_cast<int>(names_.size());
            names_.push_back(step.reference);
        }
        auto& steps = rows_[step.channel].steps;
        if (steps.size() <= static_cast<std::size_t>(number)) steps.resize(number + 1);
        steps[number] = tip_step(step, temperature_, references.definition_relative);
    }
    for (const language::FixturePart& part : references.fixture_parts) {
        if (part.nest != observations.nest || part.channel >= channels) continue;
        rows_[part.channel].part = {part.value.value(),
                                    standard_of(part.expanded_uncertainty, part.coverage_factor),
                                    flexing_};
        rows_[part.channel].has_part = true;
    }
}

int Tips::number_of(std::string_view reference) const {
    for (std::size_t i = 0; i < names_.size(); ++i) {
        if (names_[i] == reference) return static_cast<int>(i);
    }
    return -1;
}

const TipStep* Tips::step(std::size_t channel, std::string_view reference) const {
    return step(channel, number_of(reference));
}

const TipStep* Tips::step(std::size_t channel, int number) const {
    if (number < 0 || channel >= rows_.size()) return nullptr;
    const auto& steps = rows_[channel].steps;
    if (steps.size() <= static_cast<std::size_t>(number)) return nullptr;
    return steps[number].value > 0.0 ? &steps[number] : nullptr;
}

TipPart Tips::part_or_none(std::size_t channel) const {
    const TipPart* known = part(channel);
    return known ? *known : TipPart{0.0, 0.0, flexing_};
}

const TipPart* Tips::part(std::size_t channel) const {
    if (channel >= rows_.size() || !rows_[channel].has_part) return nullptr;
    return &rows_[channel].part;
}

}  // namespace padtrim::metrology
