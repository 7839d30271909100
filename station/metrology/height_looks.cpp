#include "station/metrology/height_looks.hpp"

#include <algorithm>
#include <cmath>

#include "station/metrology/state_means.hpp"

namespace padtrim::metrology {

HeightLooks::HeightLooks(const Case& unit, const std::string& step, const language::Key& key,
                         Millimetre thickness)
    : unit_(unit), key_(key) {
    const auto& finger = unit.plan().fixture.finger;
    zero_ = (finger ? finger->surface_height : Millimetre(0.0)) + thickness;
    read_states(step);
    read_reports(step);
    choose_channel();
}

double HeightLooks::height_of(const record::FingerPose& pose) const {
    return (pose.z - zero_).value();
}

void HeightLooks::read_states(const std::string& step) {
    const auto states = states_of(unit_.observations(), step, record::Reading::raw, unit_.series());
    const Scatter scatter = scatter_of(states);
    degrees_ = scatter.degrees;
    for (std::size_t i = 0; i < states.size() && scatter.known(); ++i) {
        const auto& finger = states[i].situation->finger;
        if (!finger || finger->key != key_.name) continue;
        State state;
        state.height = Millimetre(height_of(*finger));
        for (std::size_t k = 0; k < unit_.series(); ++k) {
            state.mean.push_back(states[i].series[k].mean);
            state.variance.push_back(scatter.of_mean(states[i], i, k) + scatter.rounding[k]);
            state.memory.push_back(states[i].by_memory(k));
        }
        states_.push_back(std::move(state));
    }
    std::stable_sort(states_.begin(), states_.end(),
                     [](const State& a, const State& b) { return a.height > b.height; });
}

void HeightLooks::read_reports(const std::string& step) {
    const auto& keys = unit_.map().keys;
    const auto at = std::find_if(keys.begin(), keys.end(),
                                 [&](const auto& key) { return key.name == key_.name; });
    const auto index = static_cast<std::size_t>(at - keys.begin());
    for (const record::TouchReport& report : unit_.observations().touch_reports) {
        if (report.step != step || !report.finger || report.finger->key != key_.name) continue;
        const bool felt = index < report.reported.size() && report.reported[index];
        looks_.push_back({Millimetre(height_of(*report.finger)), felt});
    }
}

void HeightLooks::choose_channel() {
    double most = -std::numeric_limits<double>::infinity();
    for (const std::uint16_t channel : key_.channels) {
        if (channel >= unit_.channels()) continue;
        const std::size_t series = unit_.series_of(channel, 0);
        const double moved = states_.size() < 2
                                 ? 0.0
                                 : touch_sign(unit_.map()) *
                                       (states_.back().mean[series] - states_.front().mean[series]);
        if (moved > most) channel_ = channel;
        most = std::max(most, moved);
    }
}

std::vector<CurvePoint> HeightLooks::curve() const {
    std::vector<CurvePoint> points;
    const std::size_t series = unit_.series_of(static_cast<std::size_t>(channel_), 0);
    for (const State& state : states_) {
        const double moved =
            touch_sign(unit_.map()) * (state.mean[series] - states_.front().mean[series]);
        // An error of the memory moves the highest look as well.
        const double memory = state.memory[series] - states_.front().memory[series];
        points.push_back(
            {state.height, moved, std::hypot(std::sqrt(state.variance[series]), memory)});
    }
    return points;
}

std::optional<Measured> HeightLooks::change_at(Millimetre height, std::size_t frequency) const {
    if (states_.size() < 2) return std::nullopt;
    const auto nearest =
        std::min_element(states_.begin(), states_.end(), [&](const State& a, const State& b) {
            return std::abs((a.height - height).value()) < std::abs((b.height - height).value());
        });
    if (nearest == states_.begin()) return std::nullopt;
    const std::size_t series = unit_.series_of(static_cast<std::size_t>(channel_), frequency);
    const State& far = states_.front();
    const double memory = nearest->memory[series] - far.memory[series];
    return Measured{touch_sign(unit_.map()) * (nearest->mean[series] - far.mean[series]),
                    std::sqrt(nearest->variance[series] + far.variance[series] + memory * memory),
                    degrees_};
}

// A look belongs to the approach when the finger came from above and was not reported there, to
// the withdrawal when it came from below and was.
std::optional<OperatingDistance> HeightLooks::distances(Millimetre surface) const {
    std::vector<HeightReport> approach, withdrawal;
    for (std::size_t i = 1; i < looks_.size(); ++i) {
        const HeightReport& before = looks_[i - 1];
        const HeightReport& now = looks_[i];
        auto& side = now.height < before.height ? approach : withdrawal;
        if (now.height == before.height || before.reported == (&side == &approach)) continue;
        for (const HeightReport& look : {before, now})
            side.push_back({std::max(look.height - surface, Millimetre(0.0)), look.reported});
    }
    std::stable_sort(approach.begin(), approach.end(),
                     [](const auto& a, const auto& b) { return a.height > b.height; });
    std::stable_sort(withdrawal.begin(), withdrawal.end(),
                     [](const auto& a, const auto& b) { return a.height < b.height; });
    const auto found = operating_distance(approach, withdrawal);
    if (!found) return std::nullopt;
    return *found;
}

std::optional<bool> HeightLooks::reported_on_surface() const {
    std::optional<bool> felt;
    for (const HeightReport& look : looks_)
        if (look.height <= Millimetre(1e-6)) felt = felt.value_or(false) || look.reported;
    return felt;
}

}  // namespace padtrim::metrology
