// Frozen control charts: keeping them, looking at them, telling and replying to their alarms.
#pragma once

#include <string>

#include <boost/asio/io_context.hpp>

#include "db/ledger/ledger.hpp"
#include "station/answers/control_answer.hpp"
#include "station/cli/quality_commands.hpp"

namespace padtrim {

[[nodiscard]] int freeze_charts(const cli::ChartCommand& command, const answers::ControlWish& wish,
                                const answers::ControlAnswer& charts);
[[nodiscard]] int alarms(const cli::AlarmsCommand& command);

// When a lot has ended: says on stderr how many alarms are new. A look that fails is told and is no
// failure of the lot. Runs the context to its end.
void look_after_lot(boost::asio::io_context& context, ledger::Ledger& ledger,
                    const std::string& records);
// The same for a context that goes on; the sentence to tell, "" for nothing new.
[[nodiscard]] boost::asio::awaitable<std::string> looked_after_lot(ledger::Ledger& ledger,
                                                                   std::string records);

}  // namespace padtrim
