#include "station/answers/day_means.hpp"

#include <algorithm>

namespace padtrim::answers {
namespace {

using std::chrono::ceil;
using std::chrono::days;
using std::chrono::floor;

bool within_a_day(const std::optional<record::WallTime>& at) {
    return at && floor<days>(*at) != *at;
}

}  // namespace

ledger::PlaceFilter places_of(const ValueWish& wish) {
    ledger::PlaceFilter places;
    places.stage = wish.stage;
    places.step = wish.step;
    places.check = wish.check;
    places.key = wish.key;
    places.channel = wish.channel;
    places.frequency = wish.frequency;
    return places;
}

ledger::RollupFilter days_of(const ValueWish& wish) {
    const ledger::RunFilter& runs = wish.runs;
    ledger::RollupFilter filter;
    filter.station = runs.station;
    filter.product = runs.product;
    filter.recipe = runs.recipe;
    filter.recipe_revision = runs.recipe_revision;
    filter.lot = runs.lot;
    if (runs.since) filter.since = floor<days>(*runs.since);
    if (runs.until) filter.until = ceil<days>(*runs.until);
    filter.nest = wish.nest;
    filter.measure_only = runs.measure_only;
    filter.drafts = !runs.released;
    return filter;
}

std::optional<ledger::RollupFilter> rollups_of(const ValueWish& wish) {
    const ledger::RunFilter& runs = wish.runs;
    if (wish.tries == WhichTries::every || within_a_day(runs.since) || within_a_day(runs.until))
        return std::nullopt;
    return days_of(wish);
}

journal::Stored<bool> too_many_units(ledger::Reader& reader, const ValueWish& wish) {
    const auto filter = rollups_of(wish);
    if (!filter) return false;
    const auto counted = ledger::RollupReader(reader).units(*filter, ledger::RollupBy::everything);
    if (!counted) return counted.error();
    return !counted->empty() && counted->front().counts.yield.units > wish.single_units;
}

journal::Stored<DaySeries> day_series(ledger::Reader& reader, const ValueWish& wish) {
    const auto rows =
        ledger::RollupReader(reader).values(rollups_of(wish).value(), places_of(wish),
                                            ledger::RollupBy::day, ledger::WithHistogram::no);
    if (!rows) return rows.error();
    DaySeries series;
    // By day, and in the order of places within each.
    for (const ledger::ValueRollup& row : *rows) {
        auto place = std::find_if(series.places.begin(), series.places.end(),
                                  [&](const PlaceDays& each) { return each.place == row.place; });
        if (place == series.places.end())
            place = series.places.insert(place, PlaceDays{row.place, {}});
        if (row.moments.count() > 0) place->days.push_back({*row.group.day, row.moments});
    }
    const auto newest = reader.newest_run(wish.runs);
    if (!newest) return newest.error();
    series.newest = *newest;
    if (!series.newest) return series;
    auto plan = plan_of_newest(reader, {*series.newest});
    if (!plan) return plan.error();
    series.plan = std::move(*plan);
    return series;
}

}  // namespace padtrim::answers
