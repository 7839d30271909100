#include "station/answers/gauge_answer.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using Cells = std::map<std::pair<std::string, std::string>, std::vector<double>>;

// In the order they were first measured.
void note_name(std::vector<std::string>& names, const std::string& name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

void drop_incomplete_parts(CrossedPlace& place, const Cells& cells) {
    std::erase_if(place.parts, [&](const std::string& part) {
        return std::any_of(place.appraisers.begin(), place.appraisers.end(), [&](const auto& who) {
            return !cells.contains({part, who});
        });
    });
}

std::size_t fewest_trials(const CrossedPlace& place, const Cells& cells) {
    std::size_t fewest = 0;
    for (const auto& part : place.parts)
        for (const auto& who : place.appraisers) {
            const std::size_t trials = cells.at({part, who}).size();
            fewest = fewest == 0 ? trials : std::min(fewest, trials);
        }
    return fewest;
}

void judge(CrossedPlace& place, const PlaceSeries& series, const GaugeWish& wish) {
    const auto anova = quality::gauge_study_by_anova(place.study);
    if (anova)
        place.anova = *anova;
    else
        place.flaw = anova.error();
    if (const auto range = quality::gauge_study_by_range(place.study)) place.range = *range;
    if (!series.low || !series.high || !place.anova) return;
    place.tolerance = *series.high - *series.low;
    quality::MeasuringProcess process;
    process.system.calibration = wish.calibration;
    process.part_repeatability = place.anova->repeatability.deviation();
    process.appraiser = place.anova->appraiser.deviation();
    process.interaction = place.anova->interaction.deviation();
    if (const auto fit = quality::fit_of(process, *place.tolerance)) place.fit = *fit;
}

std::string appraiser_of(const ledger::RunSummary& run, Appraisers appraisers) {
    return appraisers == Appraisers::nests ? "nest " + std::to_string(run.nest)
                                           : printable(run.station, 40);
}

std::string part_of(const ledger::RunSummary& run) {
    return printable(run.serial.empty() ? run.label : run.serial, 40);
}

Type1Place type_1_of(const PlaceSeries& series, const ValueSeries& all, const GaugeWish& wish) {
    Type1Place place;
    std::set<std::string> units;
    for (const auto& value : series.values) units.insert(part_of(all.runs[value.run]));
    if (units.size() != 1) {
        place.problem =
            "readings of " + std::to_string(units.size()) + " units: name a lot with one unit";
        return place;
    }
    place.unit = *units.begin();
    place.readings = series.numbers();
    if (!series.low || !series.high) {
        place.problem = "the check has no two limits, so no tolerance";
        return place;
    }
    const double tolerance = *series.high - *series.low;
    const auto mean = statistics::Moments::of(place.readings).mean();
    const double reference = wish.reference.value_or(mean ? *mean : 0.0);
    const auto study = quality::type1_study(place.readings, {reference, tolerance});
    if (!study) {
        place.flaw = study.error();
        return place;
    }
    place.study = *study;
    quality::MeasuringSystem system;
    system.calibration = wish.calibration;
    system.repeatability = study->deviation;
    system.bias = study->bias;
    if (const auto fit = quality::fit_of(system, tolerance)) place.fit = *fit;
    return place;
}

double gauge_badness(const GaugePlace& place) {
    const auto* fit = place.crossed && place.crossed->fit ? &*place.crossed->fit
                      : place.type_1 && place.type_1->fit ? &*place.type_1->fit
                                                          : nullptr;
    return fit ? fit->q : -1.0;
}

}  // namespace

CrossedPlace crossed_of(const std::vector<Measurement>& measurements) {
    CrossedPlace place;
    Cells cells;
    for (const auto& each : measurements) {
        note_name(place.parts, each.part);
        note_name(place.appraisers, each.appraiser);
        cells[{each.part, each.appraiser}].push_back(each.value);
    }
    std::sort(place.appraisers.begin(), place.appraisers.end());
    drop_incomplete_parts(place, cells);
    auto& study = place.study;
    study.parts = place.parts.size();
    study.appraisers = place.appraisers.size();
    study.trials = fewest_trials(place, cells);
    for (const auto& part : place.parts)
        for (const auto& who : place.appraisers) {
            const auto& trials = cells.at({part, who});
            study.values.insert(study.values.end(), trials.begin(),
                                trials.begin() + static_cast<std::ptrdiff_t>(study.trials));
        }
    place.left_out = measurements.size() - study.values.size();
    return place;
}

journal::Stored<GaugeAnswer> gauge_answer(ledger::Reader& reader, const GaugeWish& wish) {
    const auto series = value_series(reader, wish.values);
    if (!series) return series.error();
    GaugeAnswer answer;
    answer.wish = wish;
    answer.plan = series->plan;
    for (const auto& one : series->places) {
        GaugePlace place{one.place, {}, {}};
        if (wish.type_1) {
            place.type_1 = type_1_of(one, *series, wish);
        } else {
            std::vector<Measurement> measurements;
            for (const auto& value : one.values) {
                const auto& run = series->runs[value.run];
                measurements.push_back(
                    {part_of(run), appraiser_of(run, wish.appraisers), value.value});
            }
            place.crossed = crossed_of(measurements);
            judge(*place.crossed, one, wish);
        }
        answer.places.push_back(std::move(place));
    }
    std::stable_sort(answer.places.begin(), answer.places.end(), [](const auto& a, const auto& b) {
        return gauge_badness(a) > gauge_badness(b);
    });
    return answer;
}

}  // namespace padtrim::answers
