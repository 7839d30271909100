// What run has in common whether it works itself or follows a daemon: how progress is shown, the
// summary at the end, and the exit code.
#pragma once

#include <memory>

#include <boost/asio/awaitable.hpp>

#include "fixtures/port/clock.hpp"
#include "recipes/language/plan.hpp"
#include "station/cli/command_line.hpp"
#include "station/cli/progress.hpp"
#include "station/main/station_log.hpp"

namespace padtrim {

// The live view, unless stdout is no terminal or the command wants lines.
[[nodiscard]] bool wants_live_view(const cli::RunCommand& command);
[[nodiscard]] std::shared_ptr<cli::Progress> progress_of(const cli::RunCommand& command,
                                                         const language::PlanPtr& plan);
// Ticks it until it is closed.
[[nodiscard]] boost::asio::awaitable<void> keep_drawing(std::shared_ptr<cli::Progress> progress,
                                                        port::Clock& clock);

// A station before its first event.
[[nodiscard]] answers::StationStatus status_before(const language::Plan& plan,
                                                   const std::string& station);

// Prints the lot's report (text or JSON) from the records.
void summarise(const cli::RunCommand& command, const std::string& log_file);

// 0 when every unit passed, 1 when some did not.
[[nodiscard]] int exit_of(const record::LotCount& count);

}  // namespace padtrim
