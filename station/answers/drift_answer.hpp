// Did the product drift, or the station? Means of each check by lot (of many units: by day, out of
// the rollups), with a step or a trend where one can be told; and what the station's check
// standards say over the same time. What standards share is the station's; what the product changed
// beyond that is its own. A standard that lies in several nests counts by its mean over them; which
// nest it is, and by what, stands in `channels`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/quality/drift.hpp"
#include "db/quality/shared_change.hpp"
#include "db/quality/wander.hpp"
#include "station/answers/channel_causes_answer.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct MeanPoint {
    std::string label;  // of the lot, or the day
    record::WallTime at;
    double mean = 0.0;
    double standard = 0.0;  // uncertainty of the mean, by its scatter; 0 for one unit
    std::uint64_t units = 0;
};

// The station, as its check standards saw it: from their charts' baselines to now.
struct StationDrift {
    std::vector<quality::ChangeOf> standards;
    std::optional<quality::SharedChange> shared;
    std::optional<quality::ProductChange> product;  // beyond the station's
    std::optional<statistics::Flaw> flaw;
    record::WallTime since;  // the end of the baseline
};

struct PlaceDrift {
    ledger::CheckPlace place;
    std::vector<MeanPoint> points;
    std::optional<quality::DriftFinding> finding;
    std::optional<statistics::Flaw> flaw;
    std::optional<quality::Wander> wander;  // of the points, by their own uncertainties
    std::optional<StationDrift> station;    // none: no check standard has this check
};
struct DriftAnswer {
    double risk = 0.01;
    bool by_day = false;  // a point is a day, not a lot
    language::PlanPtr plan;
    std::string station, fixture;          // whose check standards: of the newest run
    std::vector<PlaceDrift> places;        // those with a finding first
    std::vector<ChannelFinding> channels;  // what changed, where check standards tell
};

[[nodiscard]] journal::Stored<DriftAnswer> drift_answer(ledger::Reader& reader,
                                                        const ValueWish& wish, double risk = 0.01);
[[nodiscard]] Json to_json(const DriftAnswer& answer);
[[nodiscard]] Sheet sheet_of(const DriftAnswer& answer, std::size_t charts = 6);

}  // namespace padtrim::answers
