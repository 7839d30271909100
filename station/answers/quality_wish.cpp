#include "station/answers/quality_wish.hpp"

#include "station/answers/day_means.hpp"
#include "station/answers/json.hpp"
#include "station/answers/named.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"

namespace padtrim::answers {
namespace {

// "" or the time that is none.
std::string wrong_time(const QualityWords& words, QualityWish& wish) {
    if (!words.since.empty()) wish.since = moment_of(words.since);
    if (!words.until.empty()) wish.until = end_of(words.until);
    if (!words.since.empty() && !wish.since) return words.since;
    if (!words.until.empty() && !wish.until) return words.until;
    return "";
}

void take_names(const QualityWords& words, QualityWish& wish) {
    wish.lot = words.lot;
    wish.station = words.station;
    wish.product = words.product;
    wish.recipe = words.recipe;
    wish.recipe_revision = words.recipe_revision;
    wish.fixture = words.fixture;
    wish.check = words.check;
    wish.key = words.key;
    wish.step = words.step;
    wish.channel = words.channel;
    wish.frequency = words.frequency;
    wish.nest = words.nest;
    wish.measure_only = words.measure_only;
    wish.drafts = words.drafts;
}

}  // namespace

journal::Stored<WishRead> read_wish(ledger::Reader& reader, const QualityWords& words) {
    WishRead read;
    const std::string wrong = wrong_time(words, read.wish);
    if (!wrong.empty()) {
        read.problem = "'" + printable(wrong, 60) +
                       "' is no time. Write 2026-03-31, or 2026-03-31T08:15 (UTC).";
        return read;
    }
    take_names(words, read.wish);
    auto wrong_name = wrong_with_names_of(reader, read.wish);
    if (!wrong_name) return wrong_name.error();
    read.problem = std::move(*wrong_name);
    if (!read.problem.empty() || !words.lot) return read;
    const auto lot = reader.lot(*words.lot);
    if (!lot) return lot.error();
    if (!*lot) {
        read.problem = "No lot '" + printable(*words.lot, 60) +
                       "' in these records. The yields of all lots name them.";
        return read;
    }
    read.wish.measure_only = read.wish.measure_only || (*lot)->measure_only;
    read.wish.drafts = read.wish.drafts || (*lot)->permission.kind == record::PermissionKind::draft;
    return read;
}

journal::Stored<language::PlanPtr> plan_of_wish(ledger::Reader& reader, const QualityWish& wish) {
    const auto newest = reader.newest_run(values_of(wish, record::Stage::as_found).runs);
    if (!newest) return newest.error();
    if (!*newest) return language::PlanPtr();
    return plan_of_newest(reader, {**newest});
}

ledger::RollupFilter rollups_of(const QualityWish& wish) {
    auto filter = days_of(values_of(wish, record::Stage::as_found));
    filter.fixture = wish.fixture;
    return filter;
}

std::string whole_days_words(const QualityWish& wish) {
    using std::chrono::days;
    using std::chrono::floor;
    const auto within = [](const std::optional<record::WallTime>& at) {
        return at && floor<days>(*at) != *at;
    };
    if (!within(wish.since) && !within(wish.until)) return "";
    const auto filter = rollups_of(wish);
    std::string words = "Whole UTC days are counted";
    if (filter.since) words += ", from " + day_words(filter.since);
    if (filter.until) words += ", to the end of " + day_words(*filter.until - days(1));
    return words + ".";
}

ledger::PlaceFilter places_of(const QualityWish& wish, record::Stage stage) {
    return places_of(values_of(wish, stage));
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

ValueWish study_values_of(const QualityWish& wish, record::Stage stage) {
    ValueWish values = values_of(wish, stage);
    values.runs.measure_only = true;
    values.runs.released = false;
    values.tries = WhichTries::every;
    return values;
}

}  // namespace padtrim::answers
