// The station's HTTP calls: which path and method asks what. Pure but for the control it calls;
// the calls are described in docs/commands.md.
#pragma once

#include <string>

#include "station/web/message.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

[[nodiscard]] Response answer(const Request& request, StationControl& station);

// What /api/live sends: the status with what a page needs beside it, one line of JSON.
[[nodiscard]] std::string live_state(const StationControl& station);

}  // namespace padtrim::web
