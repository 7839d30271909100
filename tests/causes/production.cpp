#include "tests/causes/production.hpp"

#include "fixtures/bench/random.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::causes {

namespace {

constexpr std::uint32_t first_standard = 1'000'001;
constexpr double scans_a_state = 16.0;
constexpr double kelvin_from_check_to_check = 0.3;
constexpr double usual_variance = 0.25;          // of a state's mean, in counts squared
constexpr int open = -1, changed_reference = 3;  // R4, the largest

// What a unit feels while it is measured: warm, at its own temperature.
class Felt : public bench::Surroundings {
  public:
    std::vector<double> loads = std::vector<double>(channels, 0.0);
    bench::Probe finger{0.0, 0.0, 0.0, 0.0};
    double kelvin = 0.0;
    [[nodiscard]] double contact(std::uint16_t channel, port::Instant) const override {
        return loads[channel];
    }
    [[nodiscard]] bench::Probe probe(port::Instant) const override { return finger; }
    [[nodiscard]] double kelvin_from_mean(port::Instant) const override { return kelvin; }
};

}  // namespace

language::PlanPtr plan_of_line() {
    auto plan = std::make_shared<language::Plan>(*test_support::demo_plan({.nests = nests}));
    plan->map.channels = channels;
    plan->map.frequencies.resize(1);
    plan->map.keys.resize(channels);
    std::erase_if(plan->fixture.equipment.steps,
                  [](const auto& step) { return step.channel >= channels; });
    std::erase_if(plan->fixture.equipment.fixture_parts,
                  [](const auto& part) { return part.channel >= channels; });
    return plan;
}

Production::Production(language::PlanPtr plan, std::uint64_t seed, double noise)
    : plan_(std::move(plan)), noise_(noise) {
    options_.map = plan_->map;
    options_.fixture = plan_->fixture;
    options_.seed = seed;
    options_.spread.noise *= noise / std::sqrt(scans_a_state);
    fixture_ = bench::draw_fixture(options_);
    references_ = std::get<language::GainOffsetStep>(plan_->recipe.steps.at(2).body).references;
    for (std::uint16_t nest = 1; nest <= nests; ++nest) {
        record::Observations seen;
        seen.nest = nest;
        tips_.emplace_back(plan_->fixture, plan_->fixture.equipment, seen, channels);
    }
    for (std::uint32_t i = 0; i < standards; ++i)
        standards_.push_back(bench::draw_unit(options_, first_standard + i));
}

double Production::load(std::uint16_t nest, std::size_t channel, int reference) const {
    double load = fixture_.part(nest, static_cast<std::uint16_t>(channel));
    const bool first = channel == 0;
    if (first && nest == wrong.stray_nest) load += wrong.stray;
    if (reference == open) return load;
    for (const auto& step : fixture_.steps) {
        if (step.nest != nest || step.channel != channel ||
            step.reference != references_[static_cast<std::size_t>(reference)])
            continue;
        const bool changed = first && nest == wrong.step_nest && reference == changed_reference;
        return load + step.value * (changed ? 1.0 + wrong.step : 1.0);
    }
    return load;
}

metrology::LineEstimate Production::line_of(const std::vector<metrology::LinePoint>& states,
                                            std::uint16_t nest, std::size_t channel) const {
    metrology::LineInput input;
    input.points = states;
    input.scatter_degrees = 100.0;
    input.part = *tips_[nest - 1U].part(channel);
    return metrology::estimate_line(input).value();
}

// The fit is linear in its states, and these scatter alike.
LineAndTouch Production::deviation(std::size_t which, std::uint16_t nest,
                                   std::size_t channel) const {
    std::vector<metrology::LinePoint> states;
    for (int i = 0; i < static_cast<int>(2 * references_.size() + 1); ++i)
        states.push_back(
            {0.0, usual_variance, 0.1 * i,
             i % 2 == 0 ? nullptr : tips_[nest - 1U].step(channel, references_[i / 2])});
    // About a nominal unit, for a line without slope is none.
    for (auto& state : states) state.mean = state.step == nullptr ? 0.0 : 400.0 * state.step->value;
    const auto before = line_of(states, nest, channel);
    const auto& sensing = standards_[which].sensing[channel];
    double gain = 0.0, offset = 0.0;
    for (auto& state : states) {
        state.mean += sensing.noise;
        const auto after = line_of(states, nest, channel);
        state.mean -= sensing.noise;
        gain += std::pow(after.gain - before.gain, 2);
        offset += std::pow(after.offset - before.offset, 2);
    }
    const auto& unit = standards_[which];
    gain += std::pow(kelvin_from_check_to_check * unit.gain_drift * sensing.gain, 2);
    offset += std::pow(kelvin_from_check_to_check * unit.offset_drift, 2);
    return {std::sqrt(gain), std::sqrt(offset), std::sqrt(2.0) * sensing.noise};
}

Measured Production::measure(const bench::UnitTruth& unit, std::uint16_t nest) {
    bench::Sensor sensor(options_, unit);
    Felt felt;
    felt.kelvin = bench::Stream(options_.seed, bench::Purpose::climate, {scans_ + 1})
                      .normal(noise_ * kelvin_from_check_to_check);
    const port::Instant warm{std::chrono::minutes(10)};
    std::vector<double> counts;
    const auto take = [&] { sensor.scan(felt, warm, {}, ++scans_, counts); };
    States points(channels);
    for (int state = 0; state < static_cast<int>(2 * references_.size() + 1); ++state) {
        const int reference = state % 2 == 0 ? open : state / 2;
        for (std::size_t c = 0; c < channels; ++c) felt.loads[c] = load(nest, c, reference);
        take();
        for (std::size_t c = 0; c < channels; ++c)
            points[c].push_back(
                {counts[c], usual_variance, 0.1 * state,
                 reference == open ? nullptr : tips_[nest - 1U].step(c, references_[state / 2])});
    }
    Measured measured(channels);
    for (std::size_t c = 0; c < channels; ++c) {
        const auto line = line_of(points[c], nest, c);
        measured[c].gain = line.gain;
        measured[c].offset = line.offset;
    }
    // The finger, with the pins off.
    std::fill(felt.loads.begin(), felt.loads.end(), 0.0);
    take();
    const std::vector<double> lifted = counts;
    for (std::size_t c = 0; c < channels; ++c) {
        const auto& key = plan_->map.keys[c];
        felt.finger = {plan_->fixture.finger->diameter.value(), key.x.value(), key.y.value(), 0.0};
        take();
        measured[c].touch = counts[c] - lifted[c];
    }
    return measured;
}

Measured Production::standard(std::size_t which, std::uint16_t nest) {
    bench::UnitTruth truth = standards_[which];
    if (which == 0)
        for (auto& sensing : truth.sensing) sensing.gain *= 1.0 - wrong.standard;
    return measure(truth, nest);
}

Measured Production::unit(std::uint16_t nest) {
    bench::UnitTruth truth = bench::draw_unit(options_, next_unit_++);
    for (auto& stack : truth.stacks) stack.glue += wrong.glue;
    return measure(truth, nest);
}

}  // namespace padtrim::causes
