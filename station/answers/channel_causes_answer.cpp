#include "station/answers/channel_causes_answer.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/day_means.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/reference_effects.hpp"

namespace padtrim::answers {
namespace {

using quality::ChannelCauseKind;
using quality::SpecimenSeries;

constexpr std::size_t recent_checks = 5;
constexpr std::array<const char*, 3> charted = {"gain", "offset", "touch response"};

// Of each channel at each frequency, each specimen in each nest.
using SpecimenPlace = std::pair<std::string, std::uint16_t>;
struct ChannelSeries {
    std::string key;
    std::map<SpecimenPlace, SpecimenSeries> specimens;
    SpecimenSeries& of(const std::string& specimen, std::uint16_t nest) {
        auto& series = specimens[{specimen, nest}];
        series.specimen = specimen;
        series.nest = nest;
        return series;
    }
};
using ByChannel = std::map<std::pair<int, int>, ChannelSeries>;

quality::WatchedValues* values_of_check(SpecimenSeries& series, const std::string& check) {
    if (check == charted[0]) return &series.gain;
    if (check == charted[1]) return &series.offset;
    if (check == charted[2]) return &series.touch;
    return nullptr;
}

void add_checks(const std::vector<record::ShiftCheck>& checks, std::size_t baseline,
                ByChannel& channels) {
    const std::size_t recent =
        std::max(baseline, checks.size() - std::min(checks.size(), recent_checks));
    for (std::size_t i = 0; i < checks.size(); ++i) {
        if (i >= baseline && i < recent) continue;
        for (const auto& point : checks[i].points) {
            const auto& at = point.place;
            if (at.channel < 0 || at.frequency < 0) continue;
            auto& channel = channels[{at.channel, at.frequency}];
            channel.key = at.key;
            auto* values = values_of_check(channel.of(at.serial, at.nest), at.check);
            if (values != nullptr)
                (i < baseline ? values->baseline : values->recent).push_back(point.value);
        }
    }
}

// Means of lots in a nest; the newest lot is the recent one.
void add_lots(const ValueSeries& series, record::WallTime since, ByChannel& channels) {
    if (series.runs.empty()) return;
    const record::LotId newest = series.runs.back().lot;
    std::map<record::LotId, record::WallTime> begun;
    for (const auto& run : series.runs) begun.try_emplace(run.lot, run.started);
    for (const auto& place : series.places) {
        const auto channel = channels.find({place.place.channel, place.place.frequency});
        if (channel == channels.end()) continue;
        std::map<std::pair<record::LotId, std::uint16_t>, statistics::Moments> means;
        for (const auto& value : place.values) {
            const auto& run = series.runs[value.run];
            if (run.lot == newest || begun.at(run.lot) <= since)
                means[{run.lot, run.nest}].add(value.value);
        }
        for (const auto& [which, moments] : means) {
            auto* values = values_of_check(channel->second.of("", which.second), place.place.check);
            if (values == nullptr) continue;
            auto& into = which.first == newest ? values->recent : values->baseline;
            into.push_back(*moments.mean());
        }
    }
}

void add_mean(const ledger::ValueRollup& row, std::uint16_t nest, bool newest,
              ByChannel& channels) {
    const auto channel = channels.find({row.place.channel, row.place.frequency});
    if (channel == channels.end() || row.moments.count() == 0) return;
    auto* values = values_of_check(channel->second.of("", nest), row.place.check);
    if (values == nullptr) return;
    (newest ? values->recent : values->baseline).push_back(*row.moments.mean());
}

// Enough to know how lots scatter; all of a year would be slow to read.
constexpr std::chrono::days weeks_before{14};

// The same of many units, out of the rollups: these know when a lot ran by the day.
journal::Stored<void> add_rolled_lots(ledger::Reader& reader, const ValueWish& wish,
                                      record::WallTime since, ByChannel& channels) {
    const auto newest = reader.newest_run(wish.runs);
    if (!newest) return newest.error();
    if (!*newest) return {};
    ledger::RollupReader rollups(reader);
    auto before = rollups_of(wish).value();
    auto now = before;
    now.lot = (*newest)->lot_name;
    before.until = std::chrono::floor<std::chrono::days>(since) + std::chrono::days(1);
    if (!before.since || *before.since < *before.until - weeks_before)
        before.since = *before.until - weeks_before;
    const auto nests = rollups.units(now, ledger::RollupBy::nest);
    if (!nests) return nests.error();
    ledger::PlaceFilter place;
    place.stage = wish.stage;
    place.check = wish.check;
    for (const auto& each : *nests) {
        before.nest = now.nest = each.group.nest;
        for (const bool recent : {false, true}) {
            const auto rows = rollups.values(recent ? now : before, place, ledger::RollupBy::lot,
                                             ledger::WithHistogram::no);
            if (!rows) return rows.error();
            for (const auto& row : *rows)
                if (recent || row.group.lot != *now.lot)
                    add_mean(row, each.group.nest, recent, channels);
        }
    }
    return {};
}

std::string size_words(const quality::ChannelCause& cause) {
    const std::string sign = cause.size >= 0.0 ? "+" : "";
    if (cause.quantity == charted[1])
        return sign + concise(cause.size, cause.standard_uncertainty) + " pF";
    return cause.quantity + " " + sign +
           concise(100.0 * cause.size, 100.0 * cause.standard_uncertainty) + " %";
}

std::string reference_words(const std::vector<std::string>& references) {
    std::string words;
    for (const auto& reference : references)
        words += (words.empty() ? "" : " or ") + printable(reference, 40);
    return words.empty() ? "a reference" : "reference " + words;
}

std::string what_words(const quality::ChannelCause& cause) {
    switch (cause.kind) {
        case ChannelCauseKind::reference:
            return reference_words(cause.references) + " is not as certified any more";
        case ChannelCauseKind::stray:
            return "stray capacitance changed";
        case ChannelCauseKind::reference_and_stray:
            return "a reference and stray capacitance changed";
        case ChannelCauseKind::reference_or_stray:
            return "a reference or stray capacitance changed";
        case ChannelCauseKind::finger:
            return "the dummy finger or its place changed";
        case ChannelCauseKind::standard:
            return "check standard " + printable(cause.standard, 40) + " changed by itself";
        case ChannelCauseKind::over_electrode:
            return "the newest lot: what lies over the electrode (glue, overlay) changed";
        case ChannelCauseKind::product_line:
            return "the newest lot: the product's own " + cause.quantity + " changed";
    }
    return "";
}

constexpr std::array<std::string_view, 8> cause_names = {
    "reference", "stray",    "reference and stray", "reference or stray",
    "finger",    "standard", "over electrode",      "product"};

Json cause_json(const quality::ChannelCause& cause) {
    boost::json::array references;
    for (const auto& reference : cause.references) references.push_back(text(reference));
    return boost::json::object{
        {"cause", cause_names[static_cast<std::size_t>(cause.kind)]},
        {"nest", cause.nest == 0 ? Json(nullptr) : Json(cause.nest)},
        {"standard", cause.standard.empty() ? Json(nullptr) : text(cause.standard)},
        {"references", std::move(references)},
        {"quantity", cause.quantity},
        {"size", number(cause.size)},
        {"standard_uncertainty", number(cause.standard_uncertainty)},
        {"unit", cause.quantity == charted[1] ? "pF" : "1"},
        {"words", text(words_of(cause))}};
}

journal::Stored<void> add_product(ledger::Reader& reader, const ValueWish& wish,
                                  record::WallTime since, ByChannel& channels) {
    const auto many = too_many_units(reader, wish);
    if (!many) return many.error();
    if (*many) return add_rolled_lots(reader, wish, since, channels);
    const auto series = value_series(reader, wish);
    if (!series) return series.error();
    add_lots(*series, since, channels);
    return {};
}

}  // namespace

std::string words_of(const quality::ChannelCause& cause) {
    const std::string nest = cause.nest == 0 ? "" : "nest " + std::to_string(cause.nest) + ": ";
    return nest + what_words(cause) + " (" + size_words(cause) + ")";
}

std::string words_of(const quality::ChannelCauses& causes) {
    if (!causes.changed) return "nothing that could be told";
    std::string words;
    for (const auto& cause : causes.causes) words += (words.empty() ? "" : "; ") + words_of(cause);
    if (causes.distinguishable) return words;
    std::string quantities;
    for (const auto& name : causes.not_told) quantities += (quantities.empty() ? "" : ", ") + name;
    return words + (words.empty() ? "" : "; ") + "not distinguishable: " + quantities;
}

journal::Stored<std::vector<ChannelFinding>> channel_findings(
    ledger::Reader& reader, const ValueWish& wish, const std::vector<record::ShiftCheck>& checks,
    const language::PlanPtr& plan, double risk) {
    std::vector<ChannelFinding> findings;
    if (checks.empty()) return findings;
    const std::size_t baseline = checks.back().baseline;
    if (baseline == 0 || checks.size() <= baseline) return findings;
    ByChannel channels;
    add_checks(checks, baseline, channels);
    ValueWish values = wish;
    values.step.reset();
    values.stage = record::Stage::as_found;
    for (const char* check : charted) {
        values.check = check;
        const auto added = add_product(reader, values, checks[baseline - 1].at, channels);
        if (!added) return added.error();
    }
    for (const auto& [place, channel] : channels) {
        std::vector<SpecimenSeries> series;
        std::uint16_t nest = 1;
        for (const auto& [name, each] : channel.specimens) {
            series.push_back(each);
            nest = each.nest;
        }
        // The references of all nests have the same nominal values: one nest's effects do for all.
        auto effects = plan ? reference_effects(*plan, nest, static_cast<std::size_t>(place.first))
                            : std::vector<quality::ReferenceEffect>{};
        const auto causes = quality::channel_causes(quality::watch_of(series, std::move(effects)),
                                                    risk / static_cast<double>(channels.size()));
        if (causes) findings.push_back({place.first, place.second, channel.key, *causes});
    }
    std::stable_sort(findings.begin(), findings.end(), [](const auto& a, const auto& b) {
        return a.causes.changed > b.causes.changed;
    });
    return findings;
}

Json to_json(const ChannelFinding& finding) {
    boost::json::array causes, not_told;
    for (const auto& cause : finding.causes.causes) causes.push_back(cause_json(cause));
    for (const auto& name : finding.causes.not_told) not_told.push_back(text(name));
    return boost::json::object{{"channel", finding.channel},
                               {"frequency", finding.frequency},
                               {"key", text(finding.key)},
                               {"changed", finding.causes.changed},
                               {"distinguishable", finding.causes.distinguishable},
                               {"significance", number(finding.causes.significance)},
                               {"causes", std::move(causes)},
                               {"not_told", std::move(not_told)}};
}

Table causes_table(const std::vector<ChannelFinding>& findings) {
    Table table{"What changed, of the newest checks and the newest lot",
                {{"key", "", false},
                 {"channel", "", true},
                 {"frequency", "", true},
                 {"what changed", "", false}},
                {}};
    for (const auto& finding : findings)
        table.rows.push_back(
            {printable(finding.key, 40), count_cell(static_cast<std::uint64_t>(finding.channel)),
             count_cell(static_cast<std::uint64_t>(finding.frequency)), words_of(finding.causes)});
    return table;
}

}  // namespace padtrim::answers
