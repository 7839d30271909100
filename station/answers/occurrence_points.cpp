#include "station/answers/occurrence_points.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "db/statistics/run_length.hpp"
#include "station/answers/day_means.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

// Of each run, by its place in the series.
std::vector<std::size_t> failed_checks(const ValueSeries& series) {
    std::set<std::tuple<std::size_t, std::string, std::string, std::string>> failed;
    for (const auto& one : series.places)
        for (const auto& value : one.values)
            if (value.verdict == record::Verdict::fail)
                failed.emplace(value.run, one.place.step, one.place.check, one.place.key);
    std::vector<std::size_t> counts(series.runs.size(), 0);
    for (const auto& each : failed) ++counts[std::get<0>(each)];
    return counts;
}

journal::Stored<std::vector<LabelledOccurrences>> by_lots(ledger::Reader& reader,
                                                          const ValueWish& wish) {
    const auto series = value_series(reader, wish);
    if (!series) return series.error();
    const auto failed = failed_checks(*series);
    std::vector<LabelledOccurrences> lots;
    std::map<record::LotId, std::size_t> place;
    for (std::size_t i = 0; i < series->runs.size(); ++i) {
        const auto& run = series->runs[i];
        const auto [at, fresh] = place.emplace(run.lot, lots.size());
        if (fresh) lots.push_back({printable(run.lot_name, 40), run.started, {0.0, 0.0}});
        lots[at->second].failed.size += 1.0;
        lots[at->second].failed.count += static_cast<double>(failed[i]);
    }
    return lots;
}

journal::Stored<std::vector<LabelledOccurrences>> by_days(ledger::Reader& reader,
                                                          const ValueWish& wish) {
    using ledger::RollupBy;
    ledger::RollupReader rollups(reader);
    const auto units = rollups.units(days_of(wish), RollupBy::day);
    if (!units) return units.error();
    const auto failures = rollups.failures(days_of(wish), places_of(wish), RollupBy::day);
    if (!failures) return failures.error();
    std::map<std::chrono::sys_days, double> failed;
    for (const auto& row : *failures)
        failed[*row.group.day] += static_cast<double>(row.counts.failed);
    std::vector<LabelledOccurrences> days;
    for (const auto& day : *units) {
        const auto size = static_cast<double>(day.counts.yield.units);
        if (size > 0.0)
            days.push_back(
                {day_words(day.group.day), *day.group.day, {failed[*day.group.day], size}});
    }
    return days;
}

std::optional<double> usual_run_length(const std::vector<LabelledOccurrences>& samples,
                                       const std::vector<quality::ControlLimits>& limits) {
    std::vector<std::size_t> order(samples.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    const auto middle = order.begin() + static_cast<std::ptrdiff_t>(order.size() / 2);
    std::nth_element(order.begin(), middle, order.end(), [&](std::size_t a, std::size_t b) {
        return samples[a].failed.size < samples[b].failed.size;
    });
    const auto& limit = limits[*middle];
    const auto length = statistics::occurrence_run_length(
        limit.low, limit.high, samples[*middle].failed.size, limit.centre);
    if (!length) return std::nullopt;
    return *length;
}

}  // namespace

PlaceControl chart_of_occurrences(const std::vector<LabelledOccurrences>& samples) {
    PlaceControl place;
    std::vector<quality::Occurrences> counts;
    for (const auto& sample : samples) counts.push_back(sample.failed);
    const auto limits = quality::occurrence_chart(counts);
    if (!limits) {
        place.flaw = limits.error();
        return place;
    }
    ControlLine line{"failed checks a unit", limits->front().centre, {}};
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const auto& limit = (*limits)[i];
        const double mean = samples[i].failed.count / samples[i].failed.size;
        line.points.push_back({samples[i].label, samples[i].at, mean, limit.low, limit.high,
                               limit.beyond(mean) ? "beyond its limits" : ""});
    }
    place.run_length = usual_run_length(samples, *limits);
    place.lines.push_back(std::move(line));
    return place;
}

journal::Stored<std::vector<LabelledOccurrences>> occurrences_of(ledger::Reader& reader,
                                                                 const ValueWish& wish,
                                                                 bool by_day) {
    return by_day ? by_days(reader, wish) : by_lots(reader, wish);
}

}  // namespace padtrim::answers
