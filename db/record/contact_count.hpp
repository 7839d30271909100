// How often contacts of a fixture worked: plain values that pass through the journal.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "db/record/run.hpp"

namespace padtrim::record {

struct CoilOperations {
    std::uint16_t coil = 0;
    std::uint64_t operations = 0;
    friend bool operator==(const CoilOperations&, const CoilOperations&) = default;
};

// Operations that are added to those of a fixture.
struct ContactCounts {
    std::string station, fixture;
    std::vector<CoilOperations> coils;
    WallTime at;
};

// A relay or a nest's pins were replaced: their coils count from 0 again.
struct ContactReplacement {
    std::string station, fixture;
    std::vector<std::uint16_t> coils;
    std::string who, why;
    WallTime at;
};

// As the books stand. `replaced`: the newest replacement, if any.
struct ContactStanding {
    std::uint16_t coil = 0;
    std::uint64_t operations = 0;  // since then, or ever
    std::optional<WallTime> replaced;
    std::string who, why;
    friend bool operator==(const ContactStanding&, const ContactStanding&) = default;
};

}  // namespace padtrim::record
