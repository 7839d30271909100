// A decision of the station as an answer. `after`: the number of the newest event before it.
#pragma once

#include "station/web/message.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

[[nodiscard]] Response said(const Decision& decision, std::uint64_t after);

}  // namespace padtrim::web
