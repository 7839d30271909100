// Capability of every check with limits, per key: as found it speaks of the product, as left of the
// station. Indices with intervals and the distribution model that was used (ISO 22514-2), a
// histogram with its limits, and the panel with the least index of each key.
//
// Ppk is of all values, Cpk of the scatter within subgroups: within lots, from single values. Over
// so many units that single values would take long, the answer comes from the rollups: subgroups
// are days then (whole UTC days of the period), and the model is chosen by quantiles of the
// rollups' histogram.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/quality/capability.hpp"
#include "db/quality/control_charts.hpp"
#include "station/answers/bins.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/outside_counts.hpp"
#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

struct PlaceCapability {
    ledger::CheckPlace place;
    quality::SpecLimits limits;
    bool limits_changed = false;
    statistics::Moments moments;
    std::optional<quality::CapabilityFigures> figures;
    std::optional<statistics::Flaw> flaw;  // why there are none
    std::vector<DrawnBin> bins;            // of the histogram
    std::optional<OutsideCount> outside;   // of limits that were asked for
};
struct CapabilityAnswer {
    record::Stage stage = record::Stage::as_found;
    std::uint64_t units = 0;
    bool from_rollups = false;  // subgroups are days, not lots
    std::string days;           // which whole days, where times within a day were asked for
    quality::SpecLimits as_if;  // limits that were asked for instead of those in force; or none
    language::PlanPtr plan;
    std::vector<PlaceCapability> places;  // worst first: by Ppk, then those without
};

// Checks without limits are left out. Single values up to so many units. With limits in `as_if`
// every place is judged by these instead, and the values outside them are counted.
[[nodiscard]] journal::Stored<CapabilityAnswer> capability_answer(
    ledger::Reader& reader, const QualityWish& wish, record::Stage stage,
    std::uint64_t single_units = most_single_units, const quality::SpecLimits& as_if = {});

[[nodiscard]] Json to_json(const CapabilityAnswer& answer);
// Figures of the `charts` worst places; the panel of each check.
[[nodiscard]] Sheet sheet_of(const CapabilityAnswer& answer, std::size_t charts = 6);
[[nodiscard]] Chart histogram_of(const PlaceCapability& place, const language::PlanPtr& plan);

}  // namespace padtrim::answers
