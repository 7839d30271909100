// What changed each channel, out of the newest shift checks and the newest lot against those of the
// charts' baseline: a reference, stray, the finger, a check standard, or the product
// (db/quality/channel_causes.hpp).
#pragma once

#include <string>
#include <vector>

#include "db/quality/channel_causes.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct ChannelFinding {
    int channel = 0, frequency = 0;
    std::string key;
    quality::ChannelCauses causes;
};

// Checks oldest first; they name the station. Empty while their charts learn. The newest five
// checks after the baseline are the recent ones; of the product, the newest lot is, and all lots
// that began before the baseline ended are before it (of many units: of the two weeks before that).
// Channels that changed come first; the risk is shared by all of them.
[[nodiscard]] journal::Stored<std::vector<ChannelFinding>> channel_findings(
    ledger::Reader& reader, const ValueWish& wish, const std::vector<record::ShiftCheck>& checks,
    const language::PlanPtr& plan, double risk);

// "nest 1: reference R4 is not as certified any more (gain +0.150(20) %)"
[[nodiscard]] std::string words_of(const quality::ChannelCause& cause);
[[nodiscard]] std::string words_of(const quality::ChannelCauses& causes);

[[nodiscard]] Json to_json(const ChannelFinding& finding);
[[nodiscard]] Table causes_table(const std::vector<ChannelFinding>& findings);

}  // namespace padtrim::answers
