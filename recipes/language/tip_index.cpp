#include "recipes/language/tip_index.hpp"

namespace padtrim::language {

TipIndex::TipIndex(const FixtureProfile& fixture, std::uint16_t channels) : channels_(channels) {
    for (const auto& nest : fixture.nests) {
        if (!nests_.emplace(nest.number, nests_.size()).second) continue;
        for (std::uint16_t channel = 0; channel < channels; ++channel)
            tips_.push_back({nest.number, channel});
    }
    parts_.resize(tips_.size());
    for (const auto& step : fixture.equipment.steps) {
        auto& row = rows_[step.reference];
        row.resize(tips_.size());
        const auto place = place_of(step.nest, step.channel);
        if (place < tips_.size()) row[place] = &step;
    }
    for (const auto& part : fixture.equipment.fixture_parts) {
        const auto place = place_of(part.nest, part.channel);
        if (place < tips_.size()) parts_[place] = &part;
    }
}

const TipIndex::Row* TipIndex::row(const std::string& reference) const {
    const auto found = rows_.find(reference);
    return found == rows_.end() ? nullptr : &found->second;
}

std::vector<std::string_view> TipIndex::references() const {
    std::vector<std::string_view> names;
    for (const auto& [name, row] : rows_) names.push_back(name);
    return names;
}

// Behind the last tip when there is no such tip.
std::size_t TipIndex::place_of(std::uint16_t nest, std::uint16_t channel) const {
    const auto found = nests_.find(nest);
    if (found == nests_.end() || channel >= channels_) return tips_.size();
    return found->second * channels_ + channel;
}

}  // namespace padtrim::language
