// What a shift check found: values of check standards on their control charts, whether the
// challenge unit was rejected, and what follows for the station. Plain values.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "db/record/run.hpp"

namespace padtrim::record {

// Which chart. Channel and frequency are -1, key is "" where they do not apply.
struct ChartPlace {
    std::string serial;
    std::uint16_t nest = 1;
    std::string step, check, key;
    int channel = -1, frequency = -1;
    friend auto operator<=>(const ChartPlace&, const ChartPlace&) = default;
};

// A unit of the check, as one nest measured it.
struct MeasuredStandard {
    std::uint16_t nest = 1;
    std::string serial;
    UnitResult result;
};

enum class ChartState { learning, within, beyond };
[[nodiscard]] std::string_view name_of(ChartState state);

struct ChartPoint {
    ChartPlace place;
    double value = 0.0;
    std::string unit;
    ChartState state = ChartState::learning;
    // In force for this point; none while learning. Of stated limits sigma is 0.
    double centre = 0.0, sigma = 0.0;
    std::optional<double> low, high;
    friend bool operator==(const ChartPoint&, const ChartPoint&) = default;
};

// One of the units in one nest.
struct StandardOutcome {
    std::string serial;
    std::uint16_t nest = 1;
    bool challenge = false;
    Verdict verdict = Verdict::no_verdict;
    bool as_wanted = false;  // a standard accepted, a challenge unit rejected as it has to be
    std::string reason;      // of the verdict
    friend bool operator==(const StandardOutcome&, const StandardOutcome&) = default;
};

enum class CheckDecision { ready, blocked };
[[nodiscard]] std::string_view name_of(CheckDecision decision);

struct ShiftCheck {
    std::int64_t id = 0;  // given by the ledger
    std::string station, fixture, product, certificate;
    WallTime at;  // of its end
    std::string who;
    std::vector<std::string> lots;  // that hold its runs
    CheckDecision decision = CheckDecision::blocked;
    std::string cause;      // one or a few sentences
    std::string next_step;  // the way out, or what to do next
    unsigned baseline = 0;  // measurements that a chart learns from
    unsigned learned = 0;   // of the chart that has fewest
    std::vector<StandardOutcome> standards;
    std::vector<ChartPoint> points;
};

// Charts begin anew after what was decided before: a standard or the finger was replaced, say.
struct ChartRestart {
    std::string station, fixture, who, why;
    WallTime at;
};

}  // namespace padtrim::record
