#include "station/answers/lying_units.hpp"

#include <algorithm>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

namespace padtrim::answers {
namespace {

bool asks_first(const StationStatus& status) {
    return status.state == StationState::blocked || !status.check.empty() ||
           std::any_of(status.nests.begin(), status.nests.end(),
                       [](const NestStatus& nest) { return !nest.question.empty(); });
}

const LyingUnit* first_to_confirm(const std::vector<LyingUnit>& lying) {
    const auto at = std::find_if(lying.begin(), lying.end(),
                                 [](const LyingUnit& unit) { return unit.to_confirm; });
    return at == lying.end() ? nullptr : &*at;
}

}  // namespace

// One that nobody has put away yet stays on the list even under the next unit.
void LyingUnits::forget(std::uint16_t nest) {
    std::erase_if(units_, [&](const LyingUnit& unit) {
        return unit.nest.number == nest && !unit.to_confirm;
    });
}

void LyingUnits::apply(const StationStatus& status, const engine::Event& event) {
    const auto finished = [&](std::uint16_t number) {
        forget(number);
        const auto at = std::find_if(status.nests.begin(), status.nests.end(),
                                     [&](const NestStatus& nest) { return nest.number == number; });
        if (at == status.nests.end()) return;
        units_.push_back({*at, at->mark != Mark::pass && by_hand_.count(number) > 0});
    };
    if (const auto* unit = std::get_if<engine::UnitFinished>(&event)) finished(unit->nest);
    if (const auto* unit = std::get_if<engine::UnitSetAside>(&event)) finished(unit->nest);
    if (const auto* unit = std::get_if<engine::UnitIdentified>(&event)) forget(unit->nest);
    if (std::holds_alternative<engine::LotOpened>(event))
        std::erase_if(units_, [](const LyingUnit& unit) { return !unit.to_confirm; });
}

std::optional<std::string> LyingUnits::confirm(StationStatus& status, std::uint16_t nest) {
    const auto at = std::find_if(units_.begin(), units_.end(), [&](const LyingUnit& unit) {
        return unit.to_confirm && unit.nest.number == nest;
    });
    if (at == units_.end()) return std::nullopt;
    std::string serial = at->nest.serial;
    for (auto& shown : status.nests)
        if (shown.number == nest && shown.mark == at->nest.mark && shown.serial == serial)
            shown.sentence.clear();
    units_.erase(at);
    return serial;
}

std::string next_sentence(const StationStatus& status, const std::vector<LyingUnit>& lying) {
    const LyingUnit* unit = asks_first(status) ? nullptr : first_to_confirm(lying);
    if (unit == nullptr) return next_sentence(status);
    const std::string& act = unit->nest.sentence;
    return fmt::format("Nest {}: {}", unit->nest.number, act.empty() ? "Set aside." : act);
}

Json to_json(const std::vector<LyingUnit>& lying) {
    boost::json::array list;
    for (const auto& unit : lying) {
        Json one = to_json(unit.nest);
        one.as_object()["to_confirm"] = unit.to_confirm;
        list.push_back(std::move(one));
    }
    return list;
}

}  // namespace padtrim::answers
