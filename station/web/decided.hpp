// What came of an act as an answer: 202 with the cautions, or why it was not done. Pure.
#pragma once

#include <cstdint>
#include <functional>

#include "station/web/message.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

// `after` is the number of the newest event before the act: the caller hears from there on.
[[nodiscard]] Response said(const Decision& decision, std::uint64_t after);
// An act whose work waits for the records, on a thread of its own: the answer tells what came of
// it, and the audit has before and after.
[[nodiscard]] Response done_beside(std::function<Decision()> work, std::uint64_t after);

}  // namespace padtrim::web
