#include "station/answers/failure_map.hpp"

#include <algorithm>
#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/figures.hpp"
#include "station/answers/panel_figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using FailureObject = boost::json::object;

struct AtKey {
    std::uint64_t rejected = 0;
    std::string checks;  // "gain 2, touch response 1"
};

std::map<std::string, AtKey> by_key(const FailureMap& map) {
    std::map<std::string, AtKey> keys;
    for (const auto& place : map.places) {
        if (place.key.empty() || place.counts.first_failing == 0) continue;
        auto& key = keys[printable(place.key, 40)];
        key.rejected += place.counts.first_failing;
        key.checks += (key.checks.empty() ? "" : ", ") + printable(place.check, 40) +
                      (place.stage == record::Stage::as_left ? " as left " : " ") +
                      std::to_string(place.counts.first_failing);
    }
    return keys;
}

Table places_table(const FailureMap& map) {
    Table table{"Where units fail",
                {{"key", "", false},
                 {"check", "", false},
                 {"stage", "", false},
                 {"rejected units", "", true},
                 {"units that failed it", "", true}},
                {}};
    for (const auto& place : map.places)
        table.rows.push_back({place.key.empty() ? "(the unit)" : printable(place.key, 40),
                              printable(place.check, 40), std::string(record::name_of(place.stage)),
                              count_cell(place.counts.first_failing),
                              count_cell(place.counts.failed)});
    return table;
}

std::uint64_t at_no_key(const FailureMap& map) {
    std::uint64_t rejected = 0;
    for (const auto& place : map.places)
        if (place.key.empty()) rejected += place.counts.first_failing;
    return rejected;
}

std::string summary(const FailureMap& map) {
    std::uint64_t rejected = 0;
    for (const auto& place : map.places) rejected += place.counts.first_failing;
    return counted(rejected, "unit") + " of " + std::to_string(map.units) +
           " rejected at their first try, each at the first check that failed.";
}

}  // namespace

journal::Stored<FailureMap> failure_map(ledger::Reader& reader, const QualityWish& wish) {
    FailureMap map;
    ledger::RollupReader rollups(reader);
    const auto whole = rollups.units(rollups_of(wish), ledger::RollupBy::everything);
    if (!whole) return whole.error();
    if (!whole->empty()) map.units = whole->front().counts.yield.units;
    for (const auto stage : {record::Stage::as_found, record::Stage::as_left}) {
        const auto rows = rollups.failures(rollups_of(wish), places_of(wish, stage),
                                           ledger::RollupBy::everything);
        if (!rows) return rows.error();
        for (const auto& row : *rows) {
            if (row.counts.first_failing == 0 && row.counts.failed == 0) continue;
            map.places.push_back({row.place.check, row.place.key, stage, row.counts});
        }
    }
    std::stable_sort(map.places.begin(), map.places.end(), [](const auto& a, const auto& b) {
        return std::pair(a.counts.first_failing, a.counts.failed) >
               std::pair(b.counts.first_failing, b.counts.failed);
    });
    auto plan = plan_of_wish(reader, wish);
    if (!plan) return plan.error();
    map.plan = std::move(*plan);
    return map;
}

Json to_json(const FailureMap& map) {
    boost::json::array places;
    for (const auto& place : map.places)
        places.push_back(FailureObject{{"key", text(place.key)},
                                       {"check", text(place.check)},
                                       {"stage", record::name_of(place.stage)},
                                       {"first_failing", place.counts.first_failing},
                                       {"failed", place.counts.failed},
                                       {"inconclusive", place.counts.inconclusive},
                                       {"recovered", place.counts.recovered}});
    return FailureObject{{"units", map.units}, {"places", std::move(places)}};
}

PanelFigure panel_of(const FailureMap& map) {
    auto figure = panel_of(map.plan, "failures", "Where units fail");
    const auto whole = at_no_key(map);
    figure.sentence = summary(map) + " The denser the hatching, the more.";
    if (whole > 0) figure.sentence += " At no key, the whole unit: " + std::to_string(whole) + ".";
    figure.table = places_table(map);
    const auto keys = by_key(map);
    std::uint64_t most = 0;
    for (const auto& [name, key] : keys) most = std::max(most, key.rejected);
    for (const auto& [name, key] : keys) {
        PanelPlace* place = place_of(figure, name);
        if (place == nullptr) continue;
        place->value = std::to_string(key.rejected);
        place->detail = key.checks;
        place->tone = static_cast<double>(key.rejected) / static_cast<double>(most);
        place->outline = Stroke::dashed;
    }
    return figure;
}

Sheet sheet_of(const FailureMap& map) {
    Sheet sheet;
    sheet.title = "Where units fail";
    sheet.sentences.push_back(summary(map));
    if (map.plan) sheet.panels.push_back(panel_of(map));
    sheet.tables.push_back(places_table(map));
    return sheet;
}

}  // namespace padtrim::answers
