// Rolled throughput yield over the checks of units: how many would pass every check at their first
// try, if checks were steps one after the other (db/quality/rolled_yield.hpp). From the rollups.
//
// A step is a check on a key (or of the whole unit): passed is tries without a value of it that
// failed or was inconclusive, tried those in which it got a verdict. What has no limits and never
// failed is no step. As found and as left are apart. First tries only.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/quality/rolled_yield.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

struct RolledStep {
    std::string step, check, key;
    statistics::Counted passed;
};
struct RolledThroughput {
    record::Stage stage = record::Stage::as_found;
    std::vector<RolledStep> steps;  // the least yield first
    quality::RolledYield rolled;    // at 95 %
};

// One of each stage that has a step.
[[nodiscard]] journal::Stored<std::vector<RolledThroughput>> rolled_throughput(
    ledger::Reader& reader, const QualityWish& wish);

[[nodiscard]] Json to_json(const std::vector<RolledThroughput>& rolled);
// A row a stage.
[[nodiscard]] Table rolled_table(const std::vector<RolledThroughput>& rolled);
// A row a step of a stage, for other programs; the last row of a stage is the rolled yield.
[[nodiscard]] Table rolled_steps(const std::vector<RolledThroughput>& rolled);

}  // namespace padtrim::answers
