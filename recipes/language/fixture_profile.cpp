#include "recipes/language/fixture_profile.hpp"

#include <algorithm>
#include <charconv>

namespace padtrim::language {
namespace {

template <class T, class Predicate>
const T* first_where(const std::vector<T>& items, Predicate predicate) {
    const auto found = std::find_if(items.begin(), items.end(), predicate);
    return found == items.end() ? nullptr : &*found;
}

}  // namespace

std::optional<TcpName> tcp_name(std::string_view text) {
    const auto colon = text.rfind(':');
    if (colon == std::string_view::npos) return std::nullopt;
    std::string_view host = text.substr(0, colon);
    const std::string_view number = text.substr(colon + 1);
    if (host.starts_with('[') && host.ends_with(']')) {
        host = host.substr(1, host.size() - 2);
    } else if (host.find(':') != std::string_view::npos) {
        return std::nullopt;
    }
    const auto plain = [](char c) { return c > ' ' && c <= '~'; };
    if (host.empty() || !std::all_of(host.begin(), host.end(), plain)) return std::nullopt;
    std::uint16_t port = 0;
    const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), port);
    if (error != std::errc() || end != number.data() + number.size() || port == 0)
        return std::nullopt;
    return TcpName{std::string(host), port};
}

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

std::uint32_t EquipmentRecord::channels() const {
    std::uint32_t count = 0;
    for (const CharacterisedStep& step : steps)
        count = std::max(count, std::uint32_t{step.channel} + 1);
    return count;
}

const Nest* FixtureProfile::nest(std::uint16_t number) const {
    return first_where(nests, [&](const Nest& each) { return each.number == number; });
}

const Target* FixtureProfile::target(const std::string& name) const {
    return first_where(targets, [&](const Target& each) { return each.name == name; });
}

}  // namespace padtrim::language
