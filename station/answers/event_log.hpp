// The last events of a station, numbered from 1, for whoever follows it from another process.
// Bounded: when a follower comes late, what it missed is counted and said. Not thread safe.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <vector>

#include "station/engine/events.hpp"

namespace padtrim::answers {

struct NumberedEvent {
    std::uint64_t number = 0;
    engine::Event event;
};

class EventLog {
  public:
    explicit EventLog(std::size_t most = 2000) : most_(most) {}

    void add(const engine::Event& event) {
        events_.push_back({++last_, event});
        if (events_.size() > most_) events_.pop_front();
    }
    // Number of the newest, 0 when there is none.
    [[nodiscard]] std::uint64_t last() const { return last_; }
    [[nodiscard]] std::vector<NumberedEvent> after(std::uint64_t number) const {
        std::vector<NumberedEvent> result;
        for (const auto& event : events_) {
            if (event.number > number) result.push_back(event);
        }
        return result;
    }
    // How many events after `number` are no longer kept.
    [[nodiscard]] std::uint64_t missed(std::uint64_t number) const {
        const std::uint64_t oldest = events_.empty() ? last_ + 1 : events_.front().number;
        return number + 1 < oldest ? oldest - number - 1 : 0;
    }

  private:
    std::size_t most_;
    std::uint64_t last_ = 0;
    std::deque<NumberedEvent> events_;
};

}  // namespace padtrim::answers
