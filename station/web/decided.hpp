// What came of an act as an answer: 202 with the cautions, or why it was not done. Pure.
#pragma once

#include <cstdint>

#include "station/web/message.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

// `after` is the number of the newest event before the act: the caller hears from there on.
[[nodiscard]] Response said(const Decision& decision, std::uint64_t after);

}  // namespace padtrim::web
