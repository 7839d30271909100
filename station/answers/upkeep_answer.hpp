// Standstills of a station with their total by reason, and raw readings that were removed. Pure.
#pragma once

#include <chrono>
#include <string>
#include <vector>

#include "db/record/upkeep.hpp"
#include "station/answers/chart.hpp"

namespace padtrim::answers {

struct DowntimeTotal {
    std::string reason;
    std::size_t times = 0;
    std::chrono::milliseconds lasted{0};
};
struct DowntimeAnswer {
    std::vector<record::Downtime> downtimes;  // oldest first
    std::vector<DowntimeTotal> totals;        // longest first
};
// What is not over lasts until `now`. Only the part between `since` and `until` is counted.
[[nodiscard]] DowntimeAnswer downtime_answer(std::vector<record::Downtime> downtimes,
                                             const std::optional<record::WallTime>& since,
                                             const std::optional<record::WallTime>& until,
                                             record::WallTime now);
[[nodiscard]] Json to_json(const DowntimeAnswer& answer);
[[nodiscard]] Sheet sheet_of(const DowntimeAnswer& answer);

[[nodiscard]] Json to_json(const std::vector<record::Removal>& removals);
[[nodiscard]] Sheet sheet_of(const std::vector<record::Removal>& removals);

}  // namespace padtrim::answers
