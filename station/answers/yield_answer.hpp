// Yields with the doubt that counting leaves, by lot, day, shift, nest, revision, ...; whether they
// differ by more than chance; what retests recover; and what fails most. From the rollups alone.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "db/quality/compare_shares.hpp"
#include "db/quality/pareto.hpp"
#include "db/quality/rolled_yield.hpp"
#include "db/quality/yield.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/quality_wish.hpp"
#include "station/answers/rolled_throughput.hpp"

namespace padtrim::answers {

struct YieldGroup {
    ledger::RollupGroup group;
    std::string name;  // in the words of the grouping: "L-7", "2026-03-31", "nest 2"
    record::UnitCounts counts;
    std::optional<quality::Yield> yield;  // none when no unit got a verdict
};
struct YieldComparison {
    std::string a, b;
    quality::ShareDifference first_pass;
};
struct YieldAnswer {
    ledger::RollupBy by = ledger::RollupBy::lot;
    std::vector<YieldGroup> groups;
    std::optional<YieldGroup> whole;            // all of them together
    std::optional<quality::Homogeneity> alike;  // are first-pass yields alike?
    std::optional<YieldComparison> comparison;
    std::vector<quality::Recovery> by_nest, by_check;  // retest recovery
    std::vector<quality::ParetoRow> failures;          // units by the first check that failed
    std::vector<RolledThroughput> rolled;              // over the checks; empty unless asked for
    std::string problem;  // a name that was to be compared is not there
};

// Less chance than this, and yields differ. One test over all groups, so that nothing has to be
// corrected for their number; stricter than 5 %, since the sheet is asked every day (common
// practice, no source).
inline constexpr double differing_chance = 0.01;

[[nodiscard]] std::optional<ledger::RollupBy> yield_grouping_of(std::string_view name);
[[nodiscard]] std::vector<std::string> yield_grouping_names();

// `compare`: the names of two groups.
[[nodiscard]] journal::Stored<YieldAnswer> yield_answer(
    ledger::Reader& reader, const QualityWish& wish, ledger::RollupBy by,
    const std::optional<std::pair<std::string, std::string>>& compare = {});
// With rolled throughput yield, which takes as long again.
[[nodiscard]] journal::Stored<YieldAnswer> yield_and_rolled(
    ledger::Reader& reader, const QualityWish& wish, ledger::RollupBy by,
    const std::optional<std::pair<std::string, std::string>>& compare = {});

[[nodiscard]] Json to_json(const YieldAnswer& answer);
[[nodiscard]] Table yield_table(const YieldAnswer& answer);
[[nodiscard]] Chart yield_chart(const YieldAnswer& answer);
[[nodiscard]] Chart pareto_chart(const YieldAnswer& answer);
[[nodiscard]] Sheet sheet_of(const YieldAnswer& answer);

}  // namespace padtrim::answers
