// Sampling of a slow step as it is remembered: the plan, the lots that it chose units of, and what
// was found. Plain values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "db/record/run.hpp"

namespace padtrim::record {

struct SampledLot {
    std::int64_t id = 0;  // given by the ledger
    std::string lot;
    std::uint64_t size = 0;
    std::string severity, letter;
    std::uint64_t sample = 0, accept = 0;
    std::int64_t seed = 0;
    WallTime at;  // of the choice; of the result once there is one
    // None: not looked at yet.
    std::optional<std::uint64_t> nonconforming;
    bool tighter = false;  // would have passed one quality limit tighter, too
    std::string who;       // of the result
    friend bool operator==(const SampledLot&, const SampledLot&) = default;
};

struct SamplingResumption {
    std::int64_t after_lot = 0;  // the newest sampled lot then
    WallTime at;
    std::string who, why;
    friend bool operator==(const SamplingResumption&, const SamplingResumption&) = default;
};

struct SamplingPlan {
    std::int64_t id = 0;  // given by the ledger
    std::string product, step, level;
    double quality_limit = 1.0;  // percent nonconforming
    WallTime at;
    std::string who, why;
    std::vector<SampledLot> lots;                 // oldest first
    std::vector<SamplingResumption> resumptions;  // oldest first
    friend bool operator==(const SamplingPlan&, const SamplingPlan&) = default;
};

}  // namespace padtrim::record
