// That a function names a flaw for whatever is no number, and has a value for a good one.
#pragma once

#include <cmath>
#include <functional>
#include <limits>
#include <optional>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/flaw.hpp"

namespace padtrim::test_support {

// The flaw for an argument; none where a value came back.
using Outcome = std::optional<statistics::Flaw>;
template <class T>
Outcome outcome_of(const statistics::Checked<T>& result) {
    if (result) return std::nullopt;
    return result.error();
}

struct Argument {
    const char* name;
    double good;
    std::function<Outcome(double)> of;
    bool infinite_too = true;  // false: an infinity has a meaning there
};

inline void expect_named(const std::vector<Argument>& all) {
    const double infinite = std::numeric_limits<double>::infinity();
    for (const Argument& each : all) {
        EXPECT_EQ(each.of(each.good), std::nullopt) << each.name;
        EXPECT_NE(each.of(std::nan("")), std::nullopt) << each.name << ", no number";
        if (!each.infinite_too) continue;
        EXPECT_NE(each.of(infinite), std::nullopt) << each.name << ", infinite";
        EXPECT_NE(each.of(-infinite), std::nullopt) << each.name << ", minus infinite";
    }
}

}  // namespace padtrim::test_support
