// Checks as they are collected while a unit is judged, and what stood in the way of making them.
//
// Internal to the room; plain values.
#pragma once

#include <string>
#include <vector>

#include "db/record/unit_result.hpp"
#include "station/metrology/case.hpp"

namespace padtrim::metrology {

// A check and, where one matters, the other channel that it speaks of (crosstalk, isolation).
struct Finding {
    record::CheckResult check;
    int other_channel = -1;
};

struct Findings {
    std::vector<Finding> checks;
    std::vector<record::ChannelLine> lines;
    std::vector<std::string> gaps;  // what could not be judged, one sentence each
};

// Where a check belongs and what it is called.
struct CheckPlace {
    const std::string& step;
    const char* check;
    const char* unit;
    record::Traceability traceability = record::Traceability::traceable;
    record::Stage stage = record::Stage::as_found;
    int channel = -1;
    int frequency = -1;
    std::string key = {};
};

// Applies limits to a measured value; adds nothing when there are none. Returns the added check.
Finding* add_check(Findings& findings, const Case& unit, CheckPlace place, const Measured& measured,
                   const Limits& limits);
// The same where the verdict was reached another way, look by look; `note` when it is not a pass,
// "" for the usual one.
Finding* add_decided(Findings& findings, const Case& unit, CheckPlace place,
                     const Measured& measured, const Limits& limits, record::Verdict verdict,
                     std::string note);
// A yes-or-no check: value 1 when it holds, limit at least 1.
Finding& add_condition(Findings& findings, CheckPlace place, bool holds, std::string note);
// Limits ask for a value that the observations do not give: no verdict.
Finding& add_unjudged(Findings& findings, CheckPlace place, std::string note);

// A number with so many significant digits, as sentences print it.
[[nodiscard]] std::string figure(double value, int digits = 4);

}  // namespace padtrim::metrology
