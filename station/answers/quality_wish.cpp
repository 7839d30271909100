#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

ledger::RollupFilter rollups_of(const QualityWish& wish) {
    using std::chrono::ceil;
    using std::chrono::days;
    using std::chrono::floor;
    ledger::RollupFilter filter;
    filter.station = wish.station;
    filter.product = wish.product;
    filter.recipe = wish.recipe;
    filter.recipe_revision = wish.recipe_revision;
    filter.fixture = wish.fixture;
    filter.lot = wish.lot;
    if (wish.since) filter.since = floor<days>(*wish.since);
    if (wish.until) filter.until = ceil<days>(*wish.until);
    filter.nest = wish.nest;
    filter.measure_only = wish.measure_only;
    filter.drafts = wish.drafts;
    return filter;
}

ledger::PlaceFilter places_of(const QualityWish& wish, record::Stage stage) {
    ledger::PlaceFilter places;
    places.stage = stage;
    places.step = wish.step;
    places.check = wish.check;
    places.key = wish.key;
    places.channel = wish.channel;
    places.frequency = wish.frequency;
    return places;
}

ValueWish values_of(const QualityWish& wish, record::Stage stage) {
    ValueWish values;
    values.runs.since = wish.since;
    values.runs.until = wish.until;
    values.runs.lot = wish.lot;
    values.runs.recipe = wish.recipe;
    values.runs.recipe_revision = wish.recipe_revision;
    values.runs.product = wish.product;
    values.runs.station = wish.station;
    values.runs.measure_only = wish.measure_only;
    values.runs.released = !wish.drafts;
    values.check = wish.check;
    values.key = wish.key;
    values.step = wish.step;
    values.channel = wish.channel;
    values.frequency = wish.frequency;
    values.nest = wish.nest;
    values.stage = stage;
    return values;
}

}  // namespace padtrim::answers
