#include "db/record/attempts.hpp"

#include <algorithm>
#include <cstdint>

namespace padtrim::record {

namespace {

std::int64_t begin_of(const Readings& readings) {
    return readings.scans.empty() ? 0 : readings.scans.front().at_us;
}
template <class T>
std::int64_t begin_of(const T& observed) {
    return observed.at_us;
}

bool counts(const Observations& seen, const std::string& step, std::int64_t begun_us) {
    return std::none_of(seen.attempts.begin(), seen.attempts.end(), [&](const AttemptNote& note) {
        return note.step == step && begun_us <= note.ended_us;
    });
}

template <class T>
void keep_counted(const Observations& seen, std::vector<T>& list) {
    std::erase_if(list, [&](const T& each) { return !counts(seen, each.step, begin_of(each)); });
}

}  // namespace

Observations without_earlier_attempts(Observations seen) {
    if (seen.attempts.empty()) return seen;
    keep_counted(seen, seen.readings);
    keep_counted(seen, seen.touch_reports);
    keep_counted(seen, seen.answers);
    keep_counted(seen, seen.link_looks);
    keep_counted(seen, seen.sightings);
    return seen;
}

unsigned earlier_attempts(const Observations& seen, const std::string& step) {
    return static_cast<unsigned>(
        std::count_if(seen.attempts.begin(), seen.attempts.end(),
                      [&](const AttemptNote& note) { return note.step == step; }));
}

}  // namespace padtrim::record
