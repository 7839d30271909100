#include "db/quality/run_rules.hpp"

#include <algorithm>
#include <cmath>

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

int side_of(double difference) {
    return difference > 0.0 ? 1 : difference < 0.0 ? -1 : 0;
}

}  // namespace

Checked<RunRules> RunRules::of(const InControl& process, const RuleSet& rules) {
    if (const auto flaw = flaw_of(process)) return *flaw;
    return RunRules(process, rules);
}

Checked<RuleSet> RunRules::add(double value) {
    if (!std::isfinite((value - process_.centre) / process_.sigma)) return Flaw::not_finite;
    std::move_backward(last_.begin(), last_.end() - 1, last_.end());
    last_[0] = value;
    known_ = std::min(known_ + 1, longest);
    RuleSet signalled;
    for (std::size_t i = 0; i < run_rule_count; ++i) {
        const auto rule = static_cast<RunRule>(i);
        if (rules_.has(rule) && signals(rule)) signalled.insert(rule);
    }
    return signalled;
}

template <class Test>
bool RunRules::all_of_last(std::size_t count, Test test) const {
    if (known_ < count) return false;
    for (std::size_t i = 0; i < count; ++i)
        if (!test(i)) return false;
    return true;
}

bool RunRules::some_of_last(std::size_t some, std::size_t count, double sigmas) const {
    const double side = z(0) > 0.0 ? 1.0 : -1.0;
    if (!(side * z(0) > sigmas)) return false;
    std::size_t beyond = 0;
    for (std::size_t i = 0; i < std::min(count, known_); ++i)
        beyond += side * z(i) > sigmas ? 1 : 0;
    return beyond >= some;
}

bool RunRules::signals(RunRule rule) const {
    const double side = z(0) > 0.0 ? 1.0 : -1.0;
    const auto same_side = [&](std::size_t i) { return side * z(i) > 0.0; };
    // Steps between neighbours: `count` points have one less.
    const auto step = [&](std::size_t i) { return back(i) - back(i + 1); };
    const auto goes_on = [&](std::size_t i) { return side_of(step(i)) * side_of(step(0)) == 1; };
    switch (rule) {
        case RunRule::beyond_limits:
            return std::abs(z(0)) > 3.0;
        case RunRule::eight_on_one_side:
            return all_of_last(8, same_side);
        case RunRule::nine_on_one_side:
            return all_of_last(9, same_side);
        case RunRule::six_steady:
            return known_ >= 6 && all_of_last(5, goes_on);
        case RunRule::fourteen_alternating:
            return known_ >= 14 && all_of_last(13, [&](std::size_t i) {
                       return side_of(step(i)) * side_of(step(0)) == (i % 2 == 0 ? 1 : -1);
                   });
        case RunRule::two_of_three:
            return some_of_last(2, 3, 2.0);
        case RunRule::four_of_five:
            return some_of_last(4, 5, 1.0);
        case RunRule::fifteen_within:
            return all_of_last(15, [&](std::size_t i) { return std::abs(z(i)) < 1.0; });
        case RunRule::eight_beyond:
            return all_of_last(8, [&](std::size_t i) { return std::abs(z(i)) > 1.0; });
    }
    return false;
}

}  // namespace padtrim::quality
