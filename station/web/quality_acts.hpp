// What the quality team changes over HTTP: decisions about units, replies to alarms of frozen
// charts, charts that are kept with their recipe, and results of sampling. Each is kept with a
// name, the login's where there is one, and (but for a result) a reason; each is work for another
// thread, and its answer tells what came of it.
#pragma once

#include <string_view>

#include "station/web/message.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

using QualityAct = Response (*)(const Request&, StationControl&);

// What does the POST of this path, or null.
[[nodiscard]] QualityAct quality_act(std::string_view path);

}  // namespace padtrim::web
