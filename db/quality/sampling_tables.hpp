// Single sampling plans of ISO 2859-1 for normal and tightened inspection: code letters by lot size
// and level, and the plan that a letter and an acceptance quality limit (AQL) lead to. Pure.
//
// All of it is from memory of the standard; nothing was copied from it. What can be checked is: the
// sizes follow its preferred series, the acceptance numbers run along the diagonals of a master
// table that is one table shifted, and each plan's operating characteristic is that of the binomial
// distribution (db/statistics/acceptance.hpp), computed beside each in the tests. Where a cell has
// an arrow, the first plan in its direction is used, with its own sample size; a sample as large as
// the lot means every unit.
//
// Reduced inspection's table is not kept here, for it is not remembered with certainty: a plan
// under reduced severity goes on as a normal one, which asks for more units than it must.
//
// Flaws: out_of_domain for a lot below 2, or an AQL that is none of the series 0.010 ... 10 %.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "db/quality/sampling.hpp"

namespace padtrim::quality {

enum class InspectionLevel { special_1, special_2, special_3, special_4, one, two, three };
[[nodiscard]] std::string_view name_of(InspectionLevel level);  // "S-1" ... "III"
[[nodiscard]] std::optional<InspectionLevel> inspection_level_of(std::string_view name);

// In percent nonconforming.
[[nodiscard]] std::span<const double> acceptance_quality_limits();

// 'A' to 'R', without I and O.
[[nodiscard]] statistics::Checked<char> code_letter(std::uint64_t lot, InspectionLevel level);

struct MasterPlan {
    char letter = 'A';  // of the plan, after arrows
    statistics::AttributesPlan plan;
};
// Of severity normal, tightened, or reduced (as normal). out_of_domain also for stopped, and where
// the table has no plan in the arrow's direction.
[[nodiscard]] statistics::Checked<MasterPlan> master_plan(char letter, double quality_limit,
                                                          Severity severity);

// Which of a lot's units, in the order they come (from 1), are looked at: `sample` of `lot` at
// random, every choice as likely (Floyd's algorithm, Comm. ACM 30 (1987) 754); ascending. The same
// for the same seed. All of them where the sample is as large as the lot.
[[nodiscard]] std::vector<std::uint64_t> units_to_look_at(std::uint64_t lot, std::uint64_t sample,
                                                          std::uint64_t seed);

}  // namespace padtrim::quality
