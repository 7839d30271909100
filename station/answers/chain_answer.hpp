// What the chain of records says of itself, for people and programs. Pure.
#pragma once

#include "db/ledger/verify_records.hpp"
#include "station/answers/chart.hpp"

namespace padtrim::answers {

[[nodiscard]] Json to_json(const ledger::ChainReport& report);
[[nodiscard]] Sheet sheet_of(const ledger::ChainReport& report);

}  // namespace padtrim::answers
