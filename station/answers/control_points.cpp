#include "station/answers/control_points.hpp"

#include <algorithm>
#include <cmath>

#include "db/quality/names.hpp"
#include "db/quality/run_rule_rates.hpp"

namespace padtrim::answers {
namespace {

using quality::ControlLimits;
using quality::RunRule;
using statistics::Checked;
using statistics::Flaw;

std::vector<double> numbers_of(const std::vector<Labelled>& values, std::size_t most) {
    std::vector<double> numbers;
    for (const auto& value : values) {
        if (most > 0 && numbers.size() == most) break;
        numbers.push_back(value.value);
    }
    return numbers;
}

ControlLine line_of(std::string title, const std::vector<Labelled>& values,
                    const ControlLimits& limits) {
    ControlLine line{std::move(title), limits.centre, {}};
    for (const auto& value : values)
        line.points.push_back({value.label, value.at, value.value, limits.low, limits.high,
                               limits.beyond(value.value) ? "beyond its limits" : "", value.run});
    return line;
}

// The rules of the chart's own choice instead of its limits alone.
std::optional<Flaw> signal(ControlLine& line, double sigma, const ControlWish& wish) {
    auto rules = quality::RunRules::of({line.centre, sigma}, wish.rules);
    if (!rules) return rules.error();
    for (auto& point : line.points) {
        const auto said = rules->add(point.value);
        if (!said) return said.error();
        point.signal.clear();
        for (std::size_t i = 0; i < quality::run_rule_count; ++i) {
            const auto rule = static_cast<RunRule>(i);
            if (!said->has(rule)) continue;
            point.signal += (point.signal.empty() ? "" : "; ") + std::string(name_of(rule));
        }
    }
    return std::nullopt;
}

std::vector<Labelled> moving_ranges(const std::vector<Labelled>& values) {
    std::vector<Labelled> ranges;
    for (std::size_t i = 1; i < values.size(); ++i)
        ranges.push_back({values[i].label, values[i].at,
                          std::abs(values[i].value - values[i - 1].value), values[i].run});
    return ranges;
}

PlaceControl flawed(Flaw flaw) {
    PlaceControl place;
    place.flaw = flaw;
    return place;
}

PlaceControl with_rules(PlaceControl place, double sigma, const ControlWish& wish) {
    place.flaw = signal(place.lines.front(), sigma, wish);
    return place;
}

// With the process that its limits follow from.
PlaceControl of_process(double centre, double sigma, std::size_t points, const ControlWish& wish) {
    PlaceControl place;
    place.process = quality::InControl{centre, sigma};
    place.process_points = wish.baseline == 0 ? points : std::min(points, wish.baseline);
    return place;
}

// What mostly stays as it was is no measured quantity but a report or a small count: its chart
// would signal all the time.
bool hardly_ever_differs(const std::vector<Labelled>& ranges) {
    const auto still = std::count_if(ranges.begin(), ranges.end(),
                                     [](const Labelled& range) { return range.value == 0.0; });
    return 2 * static_cast<std::size_t>(still) > ranges.size();
}

PlaceControl individuals(const std::vector<Labelled>& values, const ControlWish& wish) {
    if (!wish.process && hardly_ever_differs(moving_ranges(values)))
        return flawed(Flaw::not_positive);
    const auto pair = wish.process
                          ? quality::individuals_chart_of(*wish.process)
                          : quality::individuals_and_range_chart(numbers_of(values, wish.baseline));
    if (!pair) return flawed(pair.error());
    PlaceControl place = of_process(pair->location.centre, pair->sigma, values.size(), wish);
    place.lines = {line_of("value", values, pair->location),
                   line_of("moving range", moving_ranges(values), pair->scatter)};
    return with_rules(std::move(place), pair->sigma, wish);
}

struct Subgroups {
    std::vector<Labelled> means, scatters;
    std::vector<statistics::Moments> moments;
};

// Whole ones only: a last one that is short would have limits of its own.
Subgroups subgroups_of(const std::vector<Labelled>& values, const ControlWish& wish) {
    Subgroups groups;
    for (std::size_t begin = 0; begin + wish.size <= values.size(); begin += wish.size) {
        statistics::Moments moments;
        for (std::size_t i = begin; i < begin + wish.size; ++i) moments.add(values[i].value);
        const auto& last = values[begin + wish.size - 1];
        const std::string label = values[begin].label + " to " + last.label;
        groups.means.push_back({label, last.at, moments.mean().value(), last.run});
        const bool ranges = wish.kind == ControlKind::means_and_ranges;
        groups.scatters.push_back({label, last.at,
                                   ranges ? moments.highest().value() - moments.lowest().value()
                                          : moments.standard_deviation().value(),
                                   last.run});
        groups.moments.push_back(moments);
    }
    return groups;
}

PlaceControl means(const std::vector<Labelled>& values, const ControlWish& wish) {
    if (wish.size < 2) return flawed(Flaw::out_of_domain);
    const auto groups = subgroups_of(values, wish);
    auto baseline = std::span(groups.moments);
    if (wish.baseline > 0) baseline = baseline.first(std::min(wish.baseline, baseline.size()));
    const bool ranges = wish.kind == ControlKind::means_and_ranges;
    const auto pair = wish.process ? quality::means_chart_of(*wish.process, wish.size, ranges)
                      : ranges     ? quality::mean_and_range_chart(baseline)
                                   : quality::mean_and_deviation_chart(baseline);
    if (!pair) return flawed(pair.error());
    PlaceControl place = of_process(pair->location.centre, pair->sigma, groups.means.size(), wish);
    place.lines = {
        line_of("mean", groups.means, pair->location),
        line_of(ranges ? "range" : "standard deviation", groups.scatters, pair->scatter)};
    return with_rules(std::move(place), pair->sigma / std::sqrt(static_cast<double>(wish.size)),
                      wish);
}

// Charts that remember begin from the centre and sigma of single values.
Checked<quality::InControl> process_of(const std::vector<Labelled>& values,
                                       const ControlWish& wish) {
    if (wish.process) return *wish.process;
    const auto pair = quality::individuals_and_range_chart(numbers_of(values, wish.baseline));
    if (!pair) return pair.error();
    return quality::InControl{pair->location.centre, pair->sigma};
}

PlaceControl weighted(const std::vector<Labelled>& values, const ControlWish& wish) {
    const auto process = process_of(values, wish);
    if (!process) return flawed(process.error());
    auto chart = quality::EwmaChart::of(*process, wish.weighted);
    if (!chart) return flawed(chart.error());
    PlaceControl place = of_process(process->centre, process->sigma, values.size(), wish);
    ControlLine line{"weighted mean", process->centre, {}};
    for (const auto& value : values) {
        const auto point = chart->add(value.value);
        if (!point) return flawed(point.error());
        line.points.push_back({value.label, value.at, point->value, point->low, point->high,
                               point->alarm() ? "the weighted mean is beyond its limits" : "",
                               value.run});
    }
    place.lines.push_back(std::move(line));
    return place;
}

std::string cusum_signal(const quality::CusumPoint& point) {
    if (!point.alarm()) return "";
    const bool up = point.above();
    return std::string("the process is ") + (up ? "higher" : "lower") + ", since " +
           std::to_string(up ? point.upper_run : point.lower_run) + " points";
}

PlaceControl sums(const std::vector<Labelled>& values, const ControlWish& wish) {
    const auto process = process_of(values, wish);
    if (!process) return flawed(process.error());
    auto chart = quality::CusumChart::of(*process, wish.sums);
    if (!chart) return flawed(chart.error());
    PlaceControl place = of_process(process->centre, process->sigma, values.size(), wish);
    ControlLine upper{"sum upwards", 0.0, {}}, lower{"sum downwards", 0.0, {}};
    for (const auto& value : values) {
        const auto point = chart->add(value.value);
        if (!point) return flawed(point.error());
        const std::string said = cusum_signal(*point);
        upper.points.push_back({value.label, value.at, point->upper, 0.0, point->h,
                                point->above() ? said : "", value.run});
        lower.points.push_back({value.label, value.at, point->lower, 0.0, point->h,
                                point->above() || !point->below() ? "" : said, value.run});
    }
    place.lines = {std::move(upper), std::move(lower)};
    place.measure = "sigma";
    return place;
}

}  // namespace

std::optional<double> run_length_of(const ControlWish& wish) {
    const auto length = [&]() -> Checked<double> {
        if (wish.kind == ControlKind::weighted)
            return statistics::ewma_run_length(wish.weighted, 0.0);
        if (wish.kind == ControlKind::sums) return statistics::cusum_run_length(wish.sums, 0.0);
        return quality::run_length(wish.rules, 0.0);
    }();
    if (!length) return std::nullopt;
    return *length;
}

PlaceControl chart_of(const std::vector<Labelled>& values, const ControlWish& wish) {
    switch (wish.kind) {
        case ControlKind::means_and_ranges:
        case ControlKind::means_and_deviations:
            return means(values, wish);
        case ControlKind::weighted:
            return weighted(values, wish);
        case ControlKind::sums:
            return sums(values, wish);
        default:
            return individuals(values, wish);
    }
}

PlaceControl chart_of_shares(const std::vector<LabelledShare>& lots) {
    std::vector<statistics::Counted> counts;
    for (const auto& lot : lots) counts.push_back(lot.rejected);
    const auto limits = quality::share_chart(counts);
    if (!limits) return flawed(limits.error());
    PlaceControl place;
    place.measure = "%";
    place.share = true;
    ControlLine line{"rejected at first", limits->front().centre, {}};
    std::uint64_t units = 0;
    for (std::size_t i = 0; i < lots.size(); ++i) {
        const auto& limit = (*limits)[i];
        const double share =
            static_cast<double>(counts[i].part) / static_cast<double>(counts[i].whole);
        units += counts[i].whole;
        line.points.push_back({lots[i].label, lots[i].at, share, limit.low, limit.high,
                               limit.beyond(share) ? "beyond its limits" : ""});
    }
    // Limits go with the size: of the lot that is nearest to the mean one.
    const double mean = static_cast<double>(units) / static_cast<double>(lots.size());
    const auto usual = std::min_element(counts.begin(), counts.end(), [&](auto& a, auto& b) {
        return std::abs(static_cast<double>(a.whole) - mean) <
               std::abs(static_cast<double>(b.whole) - mean);
    });
    const auto& limit = (*limits)[static_cast<std::size_t>(usual - counts.begin())];
    const auto length =
        statistics::share_run_length(limit.low, limit.high, usual->whole, line.centre);
    if (length) place.run_length = *length;
    place.lines.push_back(std::move(line));
    return place;
}

}  // namespace padtrim::answers
