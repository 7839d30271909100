// What a person found in the units that a sampling plan chose, told while the daemon holds the
// records.
#pragma once

#include <functional>
#include <string>

#include "db/ledger/ledger.hpp"
#include "station/web/station_control.hpp"

namespace padtrim {

// Work for a thread of its own: it waits until the result is durable, or refused. The ledger
// outlives it.
[[nodiscard]] std::function<web::Decision()> sampling_result_of(ledger::Ledger& ledger,
                                                                std::string records,
                                                                web::SamplingResultRequest request,
                                                                record::WallTime now);

}  // namespace padtrim
