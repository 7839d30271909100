#include "recipes/language/fixture_profile.hpp"

#include <algorithm>

namespace padtrim::language {
namespace {

template <class T, class Predicate>
const T* first_where(const std::vector<T>& items, Predicate predicate) {
    const auto found = std::find_if(items.begin(), items.end(), predicate);
    return found == items.end() ? nullptr : &*found;
}

}  // namespace

const CharacterisedStep* EquipmentRecord::step(std::uint16_t nest, std::uint16_t channel,
                                               const std::string& reference) const {
    return first_where(steps, [&](const CharacterisedStep& step) {
        return step.nest == nest && step.channel == channel && step.reference == reference;
    });
}

const FixturePart* EquipmentRecord::fixture_part(std::uint16_t nest, std::uint16_t channel) const {
    return first_where(fixture_parts, [&](const FixturePart& part) {
        return part.nest == nest && part.channel == channel;
    });
}

const Nest* FixtureProfile::nest(std::uint16_t number) const {
    return first_where(nests, [&](const Nest& each) { return each.number == number; });
}

const Target* FixtureProfile::target(const std::string& name) const {
    return first_where(targets, [&](const Target& each) { return each.name == name; });
}

}  // namespace padtrim::language
