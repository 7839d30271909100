// Steps that take care of a unit before and around its measurements, and those that look at one
// property by itself. Plain values, alternatives of StepBody (recipe.hpp).
#pragma once

#include <chrono>
#include <string>
#include <vector>

#include "recipes/quantity/quantity.hpp"

namespace padtrim::language {

struct WaitStep {
    std::chrono::milliseconds time{1000};
    friend bool operator==(const WaitStep&, const WaitStep&) = default;
};

// What stands for an answer when nobody can be asked.
enum class Unattended { no_verdict, yes, no };

// A question to the person at the station, answered yes or no.
struct AskStep {
    std::string text;
    std::string picture;  // a file beside the recipe, or an address; "" for none
    bool expect = true;   // the answer that passes
    Unattended unattended = Unattended::no_verdict;
    std::chrono::milliseconds patience{600'000};
    friend bool operator==(const AskStep&, const AskStep&) = default;
};

// Readings with all references open, one look an interval, until the change from one look to the
// next is within the limit, or the time is over.
struct WarmUpStep {
    unsigned scans = 8;  // of each look
    std::chrono::milliseconds interval{1000};
    std::chrono::milliseconds longest{60'000};
    Interval<Counts> drift;  // from one look to the next, either way
    friend bool operator==(const WarmUpStep&, const WarmUpStep&) = default;
};

// The unit's own reading of its supply, and how many requests it leaves unanswered.
struct LinkStep {
    unsigned requests = 50;
    unsigned lost_at_most = 0;  // requests that had to be repeated
    Interval<Volt> supply;
    Interval<Millisecond> reply_time;  // the slowest
    friend bool operator==(const LinkStep&, const LinkStep&) = default;
};

// The finger on each key, and what its neighbours make of it.
struct CrosstalkStep {
    std::vector<std::string> keys;  // empty: all
    unsigned scans = 8;
    Interval<Percent> crosstalk;
    friend bool operator==(const CrosstalkStep&, const CrosstalkStep&) = default;
};

// One reference at every sensing frequency: a frequency that a tone disturbs, or whose path is
// bad, changes by another amount than the others.
struct FrequencyStep {
    std::string reference;
    unsigned scans = 16;
    Interval<Percent> departure;  // from the mean of the other frequencies
    friend bool operator==(const FrequencyStep&, const FrequencyStep&) = default;
};

struct NonLinearityStep {
    std::vector<std::string> references;  // four or more, in switching order
    unsigned scans = 16;
    Interval<Percent> non_linearity;  // of span
    friend bool operator==(const NonLinearityStep&, const NonLinearityStep&) = default;
};

// A key that reports without a finger is stuck, one that does not report a finger is dead.
struct StuckKeyStep {
    std::vector<std::string> keys;  // empty: all
    std::chrono::milliseconds watch{2000};
    bool finger = true;  // look for dead keys too
    friend bool operator==(const StuckKeyStep&, const StuckKeyStep&) = default;
};

}  // namespace padtrim::language
