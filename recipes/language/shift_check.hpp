// How a station is watched from shift to shift: check standards that must read as they always did,
// and a challenge unit that must be rejected. Part of the fixture profile; plain values.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace padtrim::language {

// Limits that are stated and not learned, in the check's own unit.
struct ChartLimit {
    std::string check;              // as results name it: "gain"
    std::vector<std::string> keys;  // none: on all
    std::optional<double> low, high;
    friend bool operator==(const ChartLimit&, const ChartLimit&) = default;
};

// A stable unit that is kept to watch the station (VIM 5.7 note). Never written to.
struct CheckStandard {
    std::string serial;               // electronic
    std::vector<std::string> checks;  // each has a chart a place: channel, key, frequency
    std::vector<ChartLimit> limits;
    friend bool operator==(const CheckStandard&, const CheckStandard&) = default;
};

// A unit known to be bad, that the station must reject. Never written to.
struct ChallengeUnit {
    std::string serial;                    // electronic
    std::vector<std::string> rejected_by;  // by one of these checks; none: by any
    friend bool operator==(const ChallengeUnit&, const ChallengeUnit&) = default;
};

struct ShiftCheck {
    std::chrono::milliseconds valid = std::chrono::hours(12);
    unsigned baseline = 10;  // measurements of a standard that centre and limits are learned from
    std::vector<CheckStandard> standards;
    std::optional<ChallengeUnit> challenge;

    [[nodiscard]] const CheckStandard* standard(const std::string& serial) const {
        const auto found = std::find_if(standards.begin(), standards.end(),
                                        [&](const auto& each) { return each.serial == serial; });
        return found == standards.end() ? nullptr : &*found;
    }
    [[nodiscard]] bool is_challenge(const std::string& serial) const {
        return challenge && challenge->serial == serial;
    }
    // Standards first, the challenge unit last.
    [[nodiscard]] std::vector<std::string> serials() const {
        std::vector<std::string> all;
        for (const CheckStandard& each : standards) all.push_back(each.serial);
        if (challenge) all.push_back(challenge->serial);
        return all;
    }
    friend bool operator==(const ShiftCheck&, const ShiftCheck&) = default;
};

}  // namespace padtrim::language
