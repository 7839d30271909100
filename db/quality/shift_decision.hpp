// What a shift check says of the station: ready or blocked, why, and the way out. Pure.
//
// Every charted value of a check standard is a point of an individuals chart. While a chart has
// fewer than `baseline` points it learns; then its centre is their mean, and its sigma comes from
// the mean moving range of two, pooled over the places of one check of one standard in one nest
// (they are measured alike). Where all of them stand still, being coarser than their scatter, sigma
// is their stated standard uncertainty. All charts of one check decide together, so their limits
// stand joint_factor() sigmas from the centre (db/statistics/individuals.hpp): 3 for a single chart
// of an endless baseline, more for many, so that the whole check raises a false alarm as seldom as
// one chart would. Stated limits are taken as they are.
//
// Blocked: a point beyond its limits; a standard that is rejected or has no verdict; a challenge
// unit that is not rejected, or not by the check that has to. What several standards share is the
// station's; what one shows alone may be its own.
#pragma once

#include <map>

#include "db/record/shift_check.hpp"
#include "recipes/language/shift_check.hpp"

namespace padtrim::quality {

using record::MeasuredStandard;

// Points from which charts learn, oldest first.
using ChartHistory = std::map<record::ChartPlace, std::vector<double>>;

// Fills points, standards, decision, cause, next step, baseline and learned. `measured` has every
// unit of the rule in every nest.
void decide(record::ShiftCheck& check, const language::ShiftCheck& rule,
            const std::vector<MeasuredStandard>& measured, const ChartHistory& history);

// "gain at key timer, channel 2, frequency 0, of check standard X in nest 1"
[[nodiscard]] std::string words_of(const record::ChartPlace& place);

}  // namespace padtrim::quality
