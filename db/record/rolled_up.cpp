#include "db/record/rolled_up.hpp"

namespace padtrim::record {

ShiftMoment shift_at(const ShiftHours& hours, WallTime at) {
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const auto minute = std::chrono::floor<std::chrono::minutes>(at - day).count();
    ShiftMoment moment;
    moment.day = static_cast<int>(day.time_since_epoch().count());
    // Before the day's first shift the last one of the day before is still on.
    moment.shift = static_cast<int>(hours.begins.size());
    moment.shift_day = moment.day - 1;
    for (std::size_t i = 0; i < hours.begins.size() && hours.begins[i] <= minute; ++i) {
        moment.shift = static_cast<int>(i) + 1;
        moment.shift_day = moment.day;
    }
    return moment;
}

}  // namespace padtrim::record
