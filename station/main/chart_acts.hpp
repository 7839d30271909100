// What a person does with frozen charts while the daemon holds the records: replies to an alarm,
// and keeps charts with their recipe.
#pragma once

#include <functional>
#include <string>

#include "db/ledger/ledger.hpp"
#include "station/web/station_control.hpp"

namespace padtrim {

// Work for a thread of its own: it waits until the act is durable, or refused. The ledger outlives
// it.
[[nodiscard]] std::function<web::Decision()> alarm_reply_of(ledger::Ledger& ledger,
                                                            std::string records,
                                                            web::AlarmReplyRequest request,
                                                            record::WallTime now);
[[nodiscard]] std::function<web::Decision()> chart_freezing_of(ledger::Ledger& ledger,
                                                               std::string records,
                                                               web::FreezeRequest request,
                                                               record::WallTime now);

}  // namespace padtrim
