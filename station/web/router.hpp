// The station's HTTP calls: which path and method asks what. Pure but for the control it calls;
// the calls are described in docs/commands.md.
#pragma once

#include "station/web/message.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

[[nodiscard]] Response answer(const Request& request, StationControl& station);

}  // namespace padtrim::web
