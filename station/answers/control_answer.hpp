// Control charts of stored values: limits from a baseline, signals by run rules, and how often the
// chart would call a false alarm (ISO 7870-2, -4 and -6). The station keeps charts of its check
// standards by itself (shift checks); these are of the product, or of anything else that was
// stored.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/quality/control_charts.hpp"
#include "db/quality/run_rules.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

// individuals: each value, with moving ranges; means: of `size` values in a row, with ranges or
// standard deviations; weighted: exponentially weighted mean; sums: cumulative sums; share: of
// units rejected at their first try, a lot a point; occurrences: failed checks a unit (u chart), a
// lot a point.
enum class ControlKind {
    individuals,
    means_and_ranges,
    means_and_deviations,
    weighted,
    sums,
    share,
    occurrences
};
[[nodiscard]] std::string_view name_of(ControlKind kind);
[[nodiscard]] std::optional<ControlKind> control_kind_of(std::string_view name);
[[nodiscard]] std::vector<std::string> control_kind_names();

// "two-of-three": rules as they are typed.
[[nodiscard]] std::string_view typed_name_of(quality::RunRule rule);
[[nodiscard]] std::optional<quality::RunRule> run_rule_of(std::string_view typed);
[[nodiscard]] std::vector<std::string> run_rule_names();

struct ControlWish {
    ValueWish values;
    ControlKind kind = ControlKind::individuals;
    std::size_t size = 5;      // of a subgroup
    std::size_t baseline = 0;  // points that limits come from, the first ones; 0: all
    quality::RuleSet rules = {quality::RunRule::beyond_limits, quality::RunRule::two_of_three,
                              quality::RunRule::four_of_five, quality::RunRule::eight_on_one_side};
    statistics::EwmaPlan weighted;
    statistics::CusumPlan sums;
    // Where a chart is frozen for the recipe's revision, that one with its limits and no other.
    bool use_frozen = true;
    std::optional<quality::InControl> process;  // known; else it comes from the baseline
};

struct ControlPoint {
    std::string label;  // a serial, a span of serials, or a lot
    record::WallTime at;
    double value = 0.0, low = 0.0, high = 0.0;
    std::string signal;     // "": none
    record::RunId run = 0;  // the newest that made it; 0 for a lot
};
// One chart: points with the limits in force for each.
struct ControlLine {
    std::string title;  // "mean", "moving range"
    double centre = 0.0;
    std::vector<ControlPoint> points;
};
struct PlaceControl {
    ledger::CheckPlace place;  // of values; empty for shares
    std::string words;         // what is charted
    std::string measure;       // its unit
    bool share = false;        // values are shares of 1
    std::vector<ControlLine> lines;
    std::optional<double> run_length;  // points until a false alarm, in the mean
    // What limits follow from, of single values, and how many these were.
    std::optional<quality::InControl> process;
    std::size_t process_points = 0;
    std::optional<record::FrozenChart> frozen;  // that was used
    std::optional<statistics::Flaw> flaw;
    [[nodiscard]] std::size_t signals() const;
};
struct ControlAnswer {
    ControlKind kind = ControlKind::individuals;
    std::vector<std::string> rules;  // in words, those that apply to this kind
    std::size_t baseline = 0;
    bool by_day = false;                  // of many units: a value is the mean of a day
    std::string recipe, recipe_revision;  // of the newest run; empty by day
    // Units of more than that one: no chart that is frozen for it applies to them all.
    bool several_revisions = false;
    bool frozen_not_drawn = false;     // charts are frozen, and none of these can be one
    language::PlanPtr plan;            // for the panel's geometry; null for shares
    std::vector<PlaceControl> places;  // most signals first
};

[[nodiscard]] journal::Stored<ControlAnswer> control_answer(ledger::Reader& reader,
                                                            const ControlWish& wish);

[[nodiscard]] Json to_json(const ControlAnswer& answer);
// Charts of so many places; and of each check on keys the panel, each key's place with its own
// small chart.
[[nodiscard]] Sheet sheet_of(const ControlAnswer& answer, std::size_t charts = 4);

}  // namespace padtrim::answers
