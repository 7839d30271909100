#include "station/answers/reference_effects.hpp"

#include "station/metrology/channel_line.hpp"

namespace padtrim::answers {
namespace {

// Of one reading, in counts: it sets the weight of open states beside references, and hardly that.
constexpr double usual_noise = 2.0;

const language::GainOffsetStep* line_step(const language::Plan& plan) {
    for (const auto& step : plan.recipe.steps)
        if (const auto* body = std::get_if<language::GainOffsetStep>(&step.body)) return body;
    return nullptr;
}

// Open, reference, open, ..., open, as the engine takes them; the unit is a nominal one.
std::vector<metrology::LinePoint> nominal_states(const language::GainOffsetStep& step,
                                                 const language::Plan& plan,
                                                 const metrology::Tips& tips, std::size_t channel) {
    const double variance = usual_noise * usual_noise / std::max(1U, step.scans);
    std::vector<metrology::LinePoint> points;
    const auto add = [&](const metrology::TipStep* reference) {
        const double load = reference == nullptr ? 0.0 : reference->value;
        points.push_back({plan.map.nominal_gain.value() * load, variance,
                          0.1 * static_cast<double>(points.size()), reference});
    };
    for (const auto& name : step.references) {
        const auto* reference = tips.step(channel, name);
        if (reference == nullptr) return {};
        add(nullptr);
        add(reference);
    }
    add(nullptr);
    return points;
}

}  // namespace

std::vector<quality::ReferenceEffect> reference_effects(const language::Plan& plan,
                                                        std::uint16_t nest, std::size_t channel) {
    const auto* step = line_step(plan);
    if (step == nullptr) return {};
    record::Observations observations;
    observations.nest = nest;
    const metrology::Tips tips(plan.fixture, plan.fixture.equipment, observations,
                               plan.map.channels);
    auto points = nominal_states(*step, plan, tips, channel);
    if (points.empty()) return {};
    metrology::LineInput input;
    input.points = points;
    input.scatter_degrees = 100.0;
    input.part = tips.part_or_none(channel);
    const auto before = metrology::estimate_line(input);
    if (!before) return {};
    std::vector<quality::ReferenceEffect> effects;
    for (std::size_t i = 0; i < step->references.size(); ++i) {
        constexpr double larger = 0.001;  // pF
        const double was = points[2 * i + 1].mean;
        points[2 * i + 1].mean += plan.map.nominal_gain.value() * larger;
        const auto after = metrology::estimate_line(input);
        points[2 * i + 1].mean = was;
        if (!after) return {};
        effects.push_back({step->references[i], (after->gain / before->gain - 1.0) / larger,
                           (after->offset - before->offset) / before->gain / larger});
    }
    return effects;
}

}  // namespace padtrim::answers
