#include "db/quality/run_rule_rates.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <vector>

#include "db/statistics/distributions.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;
using statistics::normal_probability;

double window_probability(RunRule rule) {
    const double beyond_one = normal_probability(-1.0), beyond_two = normal_probability(-2.0);
    switch (rule) {
        case RunRule::beyond_limits:
            return 2.0 * normal_probability(-3.0);
        case RunRule::eight_on_one_side:
            return std::pow(0.5, 7);
        case RunRule::nine_on_one_side:
            return std::pow(0.5, 8);
        case RunRule::six_steady:
            return 2.0 / 720.0;  // 6!
        case RunRule::fourteen_alternating:
            return 2.0 * 199360981.0 / 87178291200.0;  // 14!
        case RunRule::two_of_three:
            return 2.0 * beyond_two * beyond_two * (3.0 - 2.0 * beyond_two);
        case RunRule::four_of_five:
            return 2.0 * std::pow(beyond_one, 4) * (5.0 - 4.0 * beyond_one);
        case RunRule::fifteen_within:
            return std::pow(1.0 - 2.0 * beyond_one, 15);
        case RunRule::eight_beyond:
            return std::pow(2.0 * beyond_one, 8);
    }
    return 0.0;
}

namespace {

// The chart's zones: 1 is within a sigma, 4 beyond three; negative below the centre.
constexpr int zones[] = {-4, -3, -2, -1, 1, 2, 3, 4};

double probability_of(int zone, double shift) {
    const int outer = std::abs(zone);
    // Tails on the side where they keep their digits.
    const double side = zone > 0 ? 1.0 : -1.0;
    const double from = side * shift - (outer - 1.0), to = side * shift - outer;
    return normal_probability(from) - (outer == 4 ? 0.0 : normal_probability(to));
}

int side_beyond(int zone, int sigmas) {
    return std::abs(zone) > sigmas ? (zone > 0 ? 1 : -1) : 0;
}

// What the rules need to know of the past; what no active rule asks stays 0, so that few states
// differ.
struct Past {
    int side_run = 0;        // points in a row on one side, signed
    int within = 0;          // in a row within 1 sigma
    int outside = 0;         // in a row beyond 1 sigma
    int beyond_two[2] = {};  // sides beyond 2 sigma of the last points, newest first
    int beyond_one[4] = {};
    auto operator<=>(const Past&) const = default;
};

bool enough(const int* sides, int count, int side, int wanted) {
    return side != 0 && std::count(sides, sides + count, side) >= wanted;
}

void push(int* sides, int count, int side) {
    std::move_backward(sides, sides + count - 1, sides + count);
    sides[0] = side;
}

// The past after one more point; none where a rule signals.
std::optional<Past> after(const Past& past, int zone, const RuleSet& rules) {
    if (rules.has(RunRule::beyond_limits) && std::abs(zone) > 3) return std::nullopt;
    Past next = past;
    const int side = zone > 0 ? 1 : -1;
    const int run = side * past.side_run > 0 ? past.side_run + side : side;
    const int longest = rules.has(RunRule::eight_on_one_side)  ? 8
                        : rules.has(RunRule::nine_on_one_side) ? 9
                                                               : 0;
    if (longest > 0 && std::abs(run) >= longest) return std::nullopt;
    if (longest > 0) next.side_run = run;
    const bool inside = std::abs(zone) == 1;
    if (rules.has(RunRule::fifteen_within)) next.within = inside ? past.within + 1 : 0;
    if (rules.has(RunRule::eight_beyond)) next.outside = inside ? 0 : past.outside + 1;
    if (next.within >= 15 || next.outside >= 8) return std::nullopt;
    if (rules.has(RunRule::two_of_three)) {
        const int here = side_beyond(zone, 2);
        if (enough(past.beyond_two, 2, here, 1)) return std::nullopt;
        push(next.beyond_two, 2, here);
    }
    if (rules.has(RunRule::four_of_five)) {
        const int here = side_beyond(zone, 1);
        if (enough(past.beyond_one, 4, here, 3)) return std::nullopt;
        push(next.beyond_one, 4, here);
    }
    return next;
}

struct Step {
    std::size_t from = 0, to = 0;
    double probability = 0.0;
};

struct Chain {
    std::size_t states = 1;
    std::vector<Step> steps;
};

Chain chain_of(const RuleSet& rules, double shift) {
    std::map<Past, std::size_t> known{{Past{}, 0}};
    std::vector<Past> states{Past{}};
    Chain chain;
    for (std::size_t i = 0; i < states.size(); ++i) {
        for (const int zone : zones) {
            const auto next = after(states[i], zone, rules);
            if (!next) continue;
            const auto [place, is_new] = known.try_emplace(*next, states.size());
            if (is_new) states.push_back(*next);
            chain.steps.push_back({i, place->second, probability_of(zone, shift)});
        }
    }
    chain.states = states.size();
    return chain;
}

// Sum of the probabilities of having had no signal yet; once they fall by a constant factor, the
// rest is a geometric sum.
Checked<double> mean_length(const Chain& chain) {
    constexpr int most_points = 20'000;
    constexpr int settled_after = 40;  // points; no rule looks back half as far
    std::vector<double> now(chain.states, 0.0);
    now[0] = 1.0;
    double length = 1.0, survival = 1.0, last_ratio = 0.0;
    for (int point = 0; point < most_points; ++point) {
        std::vector<double> next(chain.states, 0.0);
        for (const Step& step : chain.steps) next[step.to] += now[step.from] * step.probability;
        now = std::move(next);
        double here = 0.0;
        for (const double p : now) here += p;
        length += here;
        if (here < 1e-16 * length) return length;
        const double ratio = here / survival;
        const bool settled = point >= settled_after && std::abs(ratio - last_ratio) < 1e-15;
        if (settled && ratio < 1.0) return length + here * ratio / (1.0 - ratio);
        last_ratio = ratio;
        survival = here;
    }
    return Flaw::no_convergence;
}

}  // namespace

Checked<double> run_length(const RuleSet& rules, double shift) {
    if (rules.empty()) return Flaw::too_few_points;
    if (!std::isfinite(shift)) return Flaw::not_finite;
    if (std::abs(shift) > 8.0 || rules.has(RunRule::six_steady) ||
        rules.has(RunRule::fourteen_alternating))
        return Flaw::out_of_domain;
    return mean_length(chain_of(rules, shift));
}

}  // namespace padtrim::quality
