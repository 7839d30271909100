#include "station/answers/control_answer.hpp"

#include <algorithm>

#include "db/quality/names.hpp"
#include "station/answers/control_points.hpp"
#include "station/answers/control_words.hpp"
#include "station/answers/day_means.hpp"
#include "station/answers/frozen_charts.hpp"
#include "station/answers/occurrence_points.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using quality::RunRule;

bool by_run_rules(ControlKind kind) {
    return kind == ControlKind::individuals || kind == ControlKind::means_and_ranges ||
           kind == ControlKind::means_and_deviations;
}

std::vector<Labelled> labelled(const PlaceSeries& place, const ValueSeries& series) {
    std::vector<Labelled> values;
    for (const auto& value : place.values) {
        const auto& run = series.runs[value.run];
        values.push_back({printable(run.serial, 40), run.started, value.value, run.run});
    }
    return values;
}

// Lots in the order they began.
std::vector<LabelledShare> lots_of(const std::vector<ledger::RunSummary>& runs) {
    std::vector<record::LotId> order;
    std::vector<LabelledShare> lots;
    for (const auto& run : runs) {
        const auto at = std::find(order.begin(), order.end(), run.lot);
        const auto place = static_cast<std::size_t>(at - order.begin());
        if (at == order.end()) {
            order.push_back(run.lot);
            lots.push_back({printable(run.lot_name, 40), run.started, {}});
        }
        ++lots[place].rejected.whole;
        if (run.verdict == record::Verdict::fail) ++lots[place].rejected.part;
    }
    return lots;
}

journal::Stored<std::vector<LabelledShare>> samples_by_lot(ledger::Reader& reader,
                                                           const ValueWish& wish) {
    const auto runs = wished_runs(reader, wish);
    if (!runs) return runs.error();
    return lots_of(*runs);
}

journal::Stored<std::vector<LabelledShare>> samples_by_day(ledger::Reader& reader,
                                                           const ValueWish& wish) {
    const auto days =
        ledger::RollupReader(reader).units(rollups_of(wish).value(), ledger::RollupBy::day);
    if (!days) return days.error();
    std::vector<LabelledShare> samples;
    for (const auto& day : *days) {
        const auto& yield = day.counts.yield;
        if (yield.units == 0) continue;
        samples.push_back(
            {day_words(day.group.day), *day.group.day, {yield.rejected_first, yield.units}});
    }
    return samples;
}

journal::Stored<void> fill_shares(ledger::Reader& reader, const ControlWish& wish,
                                  ControlAnswer& answer) {
    const auto samples =
        answer.by_day ? samples_by_day(reader, wish.values) : samples_by_lot(reader, wish.values);
    if (!samples) return samples.error();
    if (samples->empty()) return {};
    auto place = chart_of_shares(*samples);
    place.words = std::string("units rejected at their first try, a ") +
                  (answer.by_day ? "day" : "lot") + " a point";
    answer.places.push_back(std::move(place));
    return {};
}

journal::Stored<void> fill_occurrences(ledger::Reader& reader, const ControlWish& wish,
                                       ControlAnswer& answer) {
    const auto samples = occurrences_of(reader, wish.values, answer.by_day);
    if (!samples) return samples.error();
    if (samples->empty()) return {};
    auto place = chart_of_occurrences(*samples);
    place.words = std::string("failed checks a unit at first tries, ") +
                  std::string(record::name_of(wish.values.stage)) + ", a " +
                  (answer.by_day ? "day" : "lot") + " a point";
    answer.places.push_back(std::move(place));
    return {};
}

bool of_counts(ControlKind kind) {
    return kind == ControlKind::share || kind == ControlKind::occurrences;
}

void add_chart(ControlAnswer& answer, const ledger::CheckPlace& where, PlaceControl place,
               const std::optional<double>& run_length) {
    if (!place.lines.empty()) place.run_length = run_length;
    place.place = where;
    place.words = words_of(where, answer.plan) + ", " + (answer.by_day ? "means of days, " : "") +
                  std::string(record::name_of(where.stage));
    if (place.measure.empty()) place.measure = where.measure == "1" ? "" : where.measure;
    answer.places.push_back(std::move(place));
}

journal::Stored<void> fill_values(ledger::Reader& reader, const ControlWish& wish,
                                  ControlAnswer& answer) {
    const auto series = value_series(reader, wish.values);
    if (!series) return series.error();
    answer.plan = series->plan;
    std::vector<ledger::KeptChart> kept;
    if (!series->runs.empty()) {
        answer.recipe = series->runs.back().recipe;
        answer.recipe_revision = series->runs.back().recipe_revision;
        answer.several_revisions = std::any_of(
            series->runs.begin(), series->runs.end(), [&](const ledger::RunSummary& run) {
                return run.recipe != answer.recipe || run.recipe_revision != answer.recipe_revision;
            });
        if (wish.use_frozen) {
            auto charts = reader.frozen_charts();
            if (!charts) return charts.error();
            answer.frozen_not_drawn = answer.several_revisions && !charts->empty();
            if (!answer.several_revisions) kept = std::move(*charts);
        }
    }
    const auto run_length = run_length_of(wish);
    for (const auto& one : series->places) {
        const auto* frozen = frozen_for(kept, answer.recipe, answer.recipe_revision, one.place);
        const auto values = labelled(one, *series);
        if (frozen == nullptr) {
            add_chart(answer, one.place, chart_of(values, wish), run_length);
            continue;
        }
        auto chart = chart_of_frozen(reader, *frozen, one.place, values);
        if (!chart) return chart.error();
        add_chart(answer, one.place, std::move(*chart), run_length_of(wish_of(*frozen, wish)));
        answer.places.back().frozen = *frozen;
    }
    return {};
}

// The mean of a day as one value: limits from what scatters within days would be too narrow for
// days, which differ by more than chance.
journal::Stored<void> fill_days(ledger::Reader& reader, const ControlWish& wish,
                                ControlAnswer& answer) {
    const auto series = day_series(reader, wish.values);
    if (!series) return series.error();
    answer.plan = series->plan;
    if (wish.use_frozen) {
        const auto charts = reader.frozen_charts();
        if (!charts) return charts.error();
        answer.frozen_not_drawn = !charts->empty();
    }
    const auto run_length = run_length_of(wish);
    for (const auto& one : series->places) {
        std::vector<Labelled> values;
        for (const auto& day : one.days)
            values.push_back({day_words(day.day), day.day, day.moments.mean().value()});
        add_chart(answer, one.place, chart_of(values, wish), run_length);
    }
    return {};
}

}  // namespace

std::size_t PlaceControl::signals() const {
    std::size_t count = 0;
    for (const auto& line : lines)
        for (const auto& point : line.points) count += point.signal.empty() ? 0 : 1;
    return count;
}

journal::Stored<ControlAnswer> control_answer(ledger::Reader& reader, const ControlWish& wish) {
    ControlAnswer answer;
    answer.kind = wish.kind;
    answer.baseline = of_counts(wish.kind) ? 0 : wish.baseline;  // these are of all points
    if (by_run_rules(wish.kind))
        for (std::size_t i = 0; i < quality::run_rule_count; ++i)
            if (wish.rules.has(static_cast<RunRule>(i)))
                answer.rules.emplace_back(quality::name_of(static_cast<RunRule>(i)));
    const auto many = too_many_units(reader, wish.values);
    if (!many) return many.error();
    answer.by_day = *many;
    const auto filled = wish.kind == ControlKind::share ? fill_shares(reader, wish, answer)
                        : wish.kind == ControlKind::occurrences
                            ? fill_occurrences(reader, wish, answer)
                        : answer.by_day ? fill_days(reader, wish, answer)
                                        : fill_values(reader, wish, answer);
    if (!filled) return filled.error();
    std::stable_sort(answer.places.begin(), answer.places.end(),
                     [](const auto& a, const auto& b) { return a.signals() > b.signals(); });
    return answer;
}

}  // namespace padtrim::answers
