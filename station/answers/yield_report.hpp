// Yields of stored lots with the doubt that counting leaves.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "db/quality/yield.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

struct YieldLine {
    ledger::YieldRow row;
    std::optional<quality::Yield> yield;  // none when no unit got a verdict
};

[[nodiscard]] journal::Stored<std::vector<YieldLine>> yield_report(
    ledger::Reader& reader, const ledger::YieldFilter& filter, ledger::YieldBy by);

[[nodiscard]] Json to_json(const record::YieldCount& count);
[[nodiscard]] Json to_json(const quality::Yield& yield);

// "75.0 % (55.1 to 88.0 %)": value with its Wilson interval at 95 %.
[[nodiscard]] std::string share_text(const quality::Share& share);

}  // namespace padtrim::answers
