// How often charts and questions call out where nothing has changed, beside what they state.
#include <cmath>

#include "db/quality/run_rule_rates.hpp"
#include "db/statistics/binomial.hpp"
#include "db/statistics/moments.hpp"
#include "tests/causes/station_checks.hpp"
#include "tests/causes/trials.hpp"

namespace padtrim::causes {

namespace {

constexpr std::uint64_t alarm_seed = 8'000'000;
constexpr double coverage = 0.99;

FalseAlarms counted(std::string chart, std::uint64_t alarms, std::uint64_t chances, double stated,
                    bool at_most) {
    FalseAlarms row{std::move(chart), chances, alarms, stated};
    const auto interval = *statistics::clopper_pearson_interval(alarms, chances, coverage);
    row.low = interval.low;
    row.high = interval.high;
    row.at_most = at_most;
    return row;
}

bool said(const quality::RuleSet& rules) {
    return !rules.empty();
}
bool said(const quality::CusumPoint& point) {
    return point.alarm();
}
bool said(const quality::EwmaPoint& point) {
    return point.alarm();
}

// Begins anew after each alarm, as a person does who has dealt with it.
template <class Chart>
std::uint64_t alarms_of(const std::vector<double>& values, const Chart& fresh) {
    std::uint64_t alarms = 0;
    Chart chart = fresh;
    for (const double value : values) {
        if (!said(*chart.add(value))) continue;
        ++alarms;
        chart = fresh;
    }
    return alarms;
}

std::vector<double> gains_of(std::uint64_t units, std::uint32_t first) {
    Production line(plan_of_line(), alarm_seed);
    line.begin_at(first);
    std::vector<double> gains;
    gains.reserve(units);
    for (std::uint64_t i = 0; i < units; ++i) gains.push_back(line.unit(1)[0].gain);
    return gains;
}

}  // namespace

bool FalseAlarms::agrees() const {
    return (at_most || stated <= high) && stated >= low;
}

std::vector<FalseAlarms> unit_alarms(std::uint64_t units) {
    using quality::RunRule;
    // The scatter is the one that the bench draws its units with, the centre that of other units.
    const bench::Spread spread;
    const double centre = *statistics::Moments::of(gains_of(50'000, 500'001)).mean();
    const quality::InControl process{centre,
                                     centre * std::hypot(spread.gain_unit, spread.gain_channel)};
    const auto gains = gains_of(units, 1);
    std::vector<FalseAlarms> rows;
    const auto add = [&](const char* name, const auto& chart, double run_length) {
        rows.push_back(counted(name, alarms_of(gains, *chart), units, 1.0 / run_length, false));
    };
    const quality::RuleSet limits{RunRule::beyond_limits};
    const quality::RuleSet usual{RunRule::beyond_limits, RunRule::two_of_three,
                                 RunRule::four_of_five, RunRule::eight_on_one_side};
    const statistics::CusumPlan sums;
    const statistics::EwmaPlan weighted;
    add("units, limits alone", quality::RunRules::of(process, limits),
        *quality::run_length(limits, 0.0));
    add("units, the usual four rules", quality::RunRules::of(process, usual),
        *quality::run_length(usual, 0.0));
    add("units, sums", quality::CusumChart::of(process, sums),
        *statistics::cusum_run_length(sums, 0.0));
    add("units, weighted means", quality::EwmaChart::of(process, weighted),
        *statistics::ewma_run_length(weighted, 0.0));
    return rows;
}

std::vector<FalseAlarms> station_alarms(int stations) {
    std::uint64_t blocked = 0;
    const auto plan = plan_of_line();
    for (int i = 0; i < stations; ++i) {
        Production line(plan, alarm_seed + static_cast<unsigned>(i));
        StationChecks checks(line, {"gain", "offset", "touch response"});
        checks.learn();
        blocked += checks.next().decision == record::CheckDecision::blocked ? 1 : 0;
    }
    // As one value beyond 3 sigma; values of one measurement go together, so that it is less.
    const double stated = 2.0 * 0.0013498980316300946;
    return {counted("shift checks, all values", blocked, static_cast<std::uint64_t>(stations),
                    stated, true)};
}

}  // namespace padtrim::causes
