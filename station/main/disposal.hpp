// A person's decision about a unit while the daemon holds the records.
#pragma once

#include <functional>
#include <string>

#include "db/ledger/ledger.hpp"
#include "station/web/station_control.hpp"

namespace padtrim {

// Work for a thread of its own: it waits until the decision is durable, or refused. The ledger
// outlives it.
[[nodiscard]] std::function<web::Decision()> disposal_of(ledger::Ledger& ledger,
                                                         std::string records,
                                                         web::DisposeRequest request,
                                                         record::WallTime now);

}  // namespace padtrim
