// What a station has done since its daemon began, as counts that only grow. Plain values.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>

#include "station/engine/events.hpp"

namespace padtrim::answers {

struct LinkTally {
    std::uint64_t transactions = 0;  // begun
    std::uint64_t retries = 0;
    std::uint64_t silent = 0, garbled = 0;  // attempts without an answer, or without a sound one
    std::uint64_t failed = 0;               // transactions that ended in a fault
    LinkTally& operator+=(const LinkTally& more);
};

struct StationTally {
    std::array<std::uint64_t, 4> units{};  // by verdict
    std::uint64_t removed = 0;             // set aside without a run
    std::uint64_t faults = 0;
    std::map<std::string, LinkTally> links;  // by port

    void apply(const engine::Event& event);
};

}  // namespace padtrim::answers
