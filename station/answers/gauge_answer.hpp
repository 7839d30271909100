// How much of the scatter is the measuring: a crossed study of units x nests (or stations) x
// repetitions, or one unit again and again (type 1), from lots that only measured. Every run
// counts.
//
// Cells of a crossed study have to be equally full: surplus repetitions are left out, newest first,
// and units that some appraiser never measured; the answer says how many values that were.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/quality/gauge_study.hpp"
#include "db/quality/measuring_system.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

enum class Appraisers { nests, stations };

struct GaugeWish {
    ValueWish values;
    Appraisers appraisers = Appraisers::nests;
    bool type_1 = false;
    std::optional<double> reference;  // of the one unit of a type 1 study
    double calibration = 0.0;         // standard uncertainty of the references
};

struct CrossedPlace {
    statistics::CrossedStudy study;
    std::vector<std::string> parts, appraisers;  // names, in the order of the study
    std::size_t left_out = 0;                    // values
    std::optional<quality::GaugeStudy> anova;
    std::optional<quality::GaugeStudyByRange> range;
    std::optional<double> tolerance;  // between two limits
    std::optional<quality::FitForTolerance> fit;
    std::optional<statistics::Flaw> flaw;  // of the analysis of variance
};
struct Type1Place {
    std::string unit;  // its serial
    std::vector<double> readings;
    std::optional<quality::Type1Study> study;
    std::optional<quality::FitForTolerance> fit;
    std::optional<statistics::Flaw> flaw;
    std::string problem;  // several units, or no two limits
};
struct GaugePlace {
    ledger::CheckPlace place;
    std::optional<CrossedPlace> crossed;
    std::optional<Type1Place> type_1;
};
struct GaugeAnswer {
    GaugeWish wish;
    language::PlanPtr plan;
    std::vector<GaugePlace> places;  // the worst first
};

[[nodiscard]] journal::Stored<GaugeAnswer> gauge_answer(ledger::Reader& reader,
                                                        const GaugeWish& wish);
[[nodiscard]] Json to_json(const GaugeAnswer& answer);
[[nodiscard]] Sheet sheet_of(const GaugeAnswer& answer);

// A study from values that need not be equally many; internal, and for tests.
struct Measurement {
    std::string part, appraiser;
    double value = 0.0;
};
[[nodiscard]] CrossedPlace crossed_of(const std::vector<Measurement>& measurements);

}  // namespace padtrim::answers
