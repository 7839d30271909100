#include "station/metrology/case.hpp"

#include <algorithm>

#include "db/statistics/distributions.hpp"

namespace padtrim::metrology {

Case::Case(const language::Plan& plan, const language::EquipmentRecord& references,
           const record::Observations& observations)
    : plan_(plan),
      observations_(observations),
      frequencies_(std::max<std::size_t>(1, plan.map.frequencies.size())),
      tips_(plan.fixture, references, observations, plan.map.channels),
      key_of_channel_(plan.map.channels) {
    for (const language::Step& step : plan.recipe.steps) {
        if (!step.exceptions.empty()) excepting_.push_back(&step);
    }
    for (const language::Key& key : plan.map.keys) {
        for (const std::uint16_t channel : key.channels) {
            if (channel < key_of_channel_.size()) key_of_channel_[channel] = key.name;
        }
    }
}

namespace {

template <class T, class U>
bool holds(const std::vector<T>& list, const U& wanted) {
    return std::find(list.begin(), list.end(), wanted) != list.end();
}

}  // namespace

Limits Case::limits_at(const std::string& step, std::string_view check, const std::string& named,
                       int channel, const Limits& all) const {
    if (excepting_.empty()) return all;
    const std::string& key =
        named.empty() && channel >= 0 ? key_of(static_cast<std::size_t>(channel)) : named;
    Limits limits = all;
    for (const language::Step* each : excepting_) {
        if (each->name != step) continue;
        for (const language::Exception& exception : each->exceptions) {
            const bool here = (!key.empty() && holds(exception.keys, key)) ||
                              (channel >= 0 && holds(exception.channels, channel));
            if (!here) continue;
            for (const language::ExceptedLimit& limit : exception.limits)
                if (limit.check == check) limits = {limit.low, limit.high};
        }
    }
    return limits;
}

const std::string& Case::key_of(std::size_t channel) const {
    static const std::string none;
    return channel < key_of_channel_.size() ? key_of_channel_[channel] : none;
}

std::string Case::place_of(std::size_t channel) const {
    const std::string& key = key_of(channel);
    return key.empty() ? "channel " + std::to_string(channel) : place_of_key(key);
}

std::string Case::place_of_key(const std::string& key) const {
    const bool says_key = key.rfind("key", 0) == 0 || key.rfind("Key", 0) == 0;
    return says_key ? key : "key " + key;
}

const language::Key* Case::key_named(const std::string& name) const {
    const auto& keys = plan_.map.keys;
    const auto found =
        std::find_if(keys.begin(), keys.end(), [&](const auto& key) { return key.name == name; });
    return found == keys.end() ? nullptr : &*found;
}

bool Case::done(const std::string& step) const {
    const auto& done = observations_.steps_done;
    return std::find(done.begin(), done.end(), step) != done.end();
}

bool Case::written() const {
    return std::any_of(
        observations_.trims.begin(), observations_.trims.end(),
        [](const record::TrimsRead& t) { return t.moment != record::TrimMoment::as_found; });
}

double Case::coverage_factor(double degrees) const {
    for (const Factor& known : factors_) {
        if (known.degrees == degrees) return known.factor;
    }
    const auto k = statistics::coverage_factor(0.95, degrees);
    const Factor factor{degrees, k ? *k : 2.0};
    // Many degrees are cheap to ask for; the slow ones keep their places.
    if (degrees < 200.0) factors_[next_factor_++ % factors_.size()] = factor;
    return factor.factor;
}

}  // namespace padtrim::metrology
