// Run rules: patterns on a Shewhart chart that chance seldom makes, each by its published
// definition (Western Electric, Statistical Quality Control Handbook, 1956; Nelson, J. Quality
// Technology 16 (1984) 237; the eight tests of ISO 7870-2; wording from memory). Pure.
//
//   beyond_limits          one point beyond 3 sigma
//   eight_on_one_side      eight in a row on one side of the centre          (1956)
//   nine_on_one_side       nine in a row on one side of the centre           (1984)
//   six_steady             six in a row rising, or six falling
//   fourteen_alternating   fourteen in a row up and down in turn
//   two_of_three           two of three beyond 2 sigma on one side
//   four_of_five           four of five beyond 1 sigma on one side
//   fifteen_within         fifteen in a row within 1 sigma
//   eight_beyond           eight in a row beyond 1 sigma, on either side
//
// The newest point is one of those that count for two_of_three and four_of_five. A point on the
// centre is on no side; equal neighbours neither rise nor fall. After a signal nothing is
// forgotten. Every rule that is switched on adds false alarms: run_rule_rates.hpp says how many.
#pragma once

#include <array>
#include <cstdint>
#include <initializer_list>

#include "db/quality/memory_charts.hpp"

namespace padtrim::quality {

enum class RunRule : std::uint8_t {
    beyond_limits,
    eight_on_one_side,
    nine_on_one_side,
    six_steady,
    fourteen_alternating,
    two_of_three,
    four_of_five,
    fifteen_within,
    eight_beyond,
};
inline constexpr std::size_t run_rule_count = 9;

class RuleSet {
  public:
    RuleSet() = default;
    RuleSet(std::initializer_list<RunRule> rules) {
        for (const RunRule rule : rules) insert(rule);
    }
    void insert(RunRule rule) { bits_ |= 1U << static_cast<unsigned>(rule); }
    [[nodiscard]] bool has(RunRule rule) const {
        return (bits_ >> static_cast<unsigned>(rule) & 1U) != 0;
    }
    [[nodiscard]] bool empty() const { return bits_ == 0; }
    friend bool operator==(const RuleSet&, const RuleSet&) = default;

  private:
    unsigned bits_ = 0;
};

class RunRules {
  public:
    // Flaws of the process as for the charts.
    [[nodiscard]] static statistics::Checked<RunRules> of(const InControl& process,
                                                          const RuleSet& rules);
    // The rules that signal at this point. not_finite leaves everything as it was.
    [[nodiscard]] statistics::Checked<RuleSet> add(double value);

  private:
    static constexpr std::size_t longest = 15;
    RunRules(const InControl& process, const RuleSet& rules) : process_(process), rules_(rules) {}
    [[nodiscard]] bool signals(RunRule rule) const;
    [[nodiscard]] double back(std::size_t steps) const { return last_[steps]; }  // 0: the newest
    [[nodiscard]] double z(std::size_t steps) const {
        return (back(steps) - process_.centre) / process_.sigma;
    }
    template <class Test>
    [[nodiscard]] bool all_of_last(std::size_t count, Test test) const;
    [[nodiscard]] bool some_of_last(std::size_t some, std::size_t count, double sigmas) const;

    InControl process_;
    RuleSet rules_;
    std::array<double, longest> last_{};
    std::size_t known_ = 0;
};

}  // namespace padtrim::quality
