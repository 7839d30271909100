#include "station/answers/quality_choices.hpp"

#include <algorithm>
#include <set>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

namespace padtrim::answers {
namespace {

using ChoiceObject = boost::json::object;

void add_once(std::vector<std::string>& names, const std::string& name) {
    if (name.empty() || std::find(names.begin(), names.end(), name) != names.end()) return;
    names.push_back(name);
}

void add_lots(const std::vector<ledger::LotSummary>& lots, QualityChoices& choices) {
    std::set<std::string> seen;
    for (const auto& lot : lots) {
        add_once(choices.stations, lot.station);
        add_once(choices.products, lot.product);
        add_once(choices.recipes, lot.recipe);
        const bool of_shift_check = lot.name.rfind("shift check ", 0) == 0;
        if (of_shift_check || choices.lots.size() >= newest_lots) continue;
        if (seen.insert(lot.name).second) choices.lots.push_back({lot.name, lot.measure_only});
    }
    for (auto* names : {&choices.stations, &choices.products, &choices.recipes})
        std::sort(names->begin(), names->end());
}

// A check is there as found, as left, or both. The names of one question are not narrowed by it.
journal::Stored<void> add_places(ledger::RollupReader& rollups, QualityWish wish,
                                 QualityChoices& choices) {
    wish.check = wish.key = wish.step = std::nullopt;
    wish.channel = wish.frequency = std::nullopt;
    for (const auto stage : {record::Stage::as_found, record::Stage::as_left}) {
        const auto values = rollups.values(rollups_of(wish), places_of(wish, stage),
                                           ledger::RollupBy::everything, ledger::WithHistogram::no);
        if (!values) return values.error();
        for (const auto& value : *values) {
            add_once(choices.checks, value.place.check);
            add_once(choices.keys, value.place.key);
            add_once(choices.steps, value.place.step);
        }
    }
    return {};
}

Json names_json(const std::vector<std::string>& names) {
    boost::json::array list;
    for (const auto& name : names) list.push_back(text(name));
    return list;
}

}  // namespace

journal::Stored<QualityChoices> quality_choices(ledger::Reader& reader, const QualityWish& wish) {
    QualityChoices choices;
    const auto lots = reader.lots();
    if (!lots) return lots.error();
    add_lots(*lots, choices);
    ledger::RollupReader rollups(reader);
    const auto placed = add_places(rollups, wish, choices);
    if (!placed) return placed.error();
    QualityWish any_nest = wish;
    any_nest.nest = std::nullopt;
    const auto nests = rollups.units(rollups_of(any_nest), ledger::RollupBy::nest);
    if (!nests) return nests.error();
    for (const auto& nest : *nests) choices.nests.push_back(nest.group.nest);
    return choices;
}

Json to_json(const QualityChoices& choices) {
    boost::json::array lots, nests;
    for (const auto& lot : choices.lots)
        lots.push_back(ChoiceObject{{"name", text(lot.name)}, {"measure_only", lot.measure_only}});
    for (const auto nest : choices.nests) nests.push_back(nest);
    return ChoiceObject{{"lots", std::move(lots)},
                        {"stations", names_json(choices.stations)},
                        {"products", names_json(choices.products)},
                        {"recipes", names_json(choices.recipes)},
                        {"checks", names_json(choices.checks)},
                        {"keys", names_json(choices.keys)},
                        {"steps", names_json(choices.steps)},
                        {"nests", std::move(nests)}};
}

}  // namespace padtrim::answers
