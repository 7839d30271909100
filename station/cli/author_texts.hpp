// What the author's commands say, as text for people. Pure; `width` is that of the paper.
#pragma once

#include <chrono>

#include "station/answers/limit_proposals.hpp"
#include "station/answers/rejudge.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim::cli {

// Lines of checks: those that some unit does not pass or that changed, or all of them.
[[nodiscard]] Lines rejudge_text(const answers::Rejudged& answer, const Paper& paper,
                                 Checks checks = Checks::worst);

// One line a check that holds all keys; `keys` adds each key and frequency by itself.
[[nodiscard]] Lines limits_text(const answers::LimitProposals& answer, const Paper& paper,
                                bool keys);

// "┃┃┃┃┃┃┊┊┊┊ 60 %  1200 of 2000 runs, 9 s left": full ticks are done. `taken` is the time so far;
// nothing is said of what is left before a fiftieth is done.
[[nodiscard]] std::string progress_bar(std::size_t done, std::size_t total, const char* noun,
                                       std::chrono::milliseconds taken, std::size_t width);

}  // namespace padtrim::cli
