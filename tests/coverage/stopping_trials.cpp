// What does stopping early risk, and what does it save? White and filtered readings (AR(1),
// which count by their effective number); Wald's test and both group-sequential shapes.
#include <cmath>
#include <cstdio>

#include "db/statistics/correlation.hpp"
#include "db/statistics/distributions.hpp"
#include "station/metrology/sequential_limit.hpp"
#include "tests/coverage/trials.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::coverage {

namespace {

using namespace metrology;
using statistics::BoundaryShape;
using statistics::SequentialState;
using statistics::WaldTest;

constexpr double tolerance = 4.0;  // limits at +-4
constexpr double each_risk = 0.025;

// Filtered readings with unit variance.
class Readings {
  public:
    Readings(metrology_test::Random& random, double r)
        : random_(random), r_(r), state_(random.normal()) {}
    double next() {
        state_ = r_ * state_ + std::sqrt(1.0 - r_ * r_) * random_.normal();
        return state_;
    }

  private:
    metrology_test::Random& random_;
    double r_, state_;
};

struct Ended {
    double inside = 0.0, outside = 0.0, part_used = 0.0;
};

constexpr double deviations_told = 5.0;  // half a tolerance, at the last look

double deviation_for(const SequentialPlan& plan, double r) {
    const double worth = (1.0 + r) / (1.0 - r);
    return 0.5 * tolerance / deviations_told *
           std::sqrt(static_cast<double>(plan.most_readings()) / worth);
}

Ended group_runs(const SequentialPlan& plan, double r, double truth, int runs) {
    const double deviation = deviation_for(plan, r);
    const auto rule = *SequentialLimit::of(plan, {-tolerance, tolerance}, deviation, r);
    metrology_test::Random random(5);
    Ended ended;
    for (int t = 0; t < runs; ++t) {
        Readings readings(random, r);
        double sum = 0.0;
        std::size_t n = 0;
        auto decision = LimitDecision::undetermined;
        while (n < plan.most_readings() && decision == LimitDecision::undetermined) {
            sum += truth + deviation * readings.next();
            ++n;
            decision = rule.after(n, sum / static_cast<double>(n));
        }
        ended.inside += decision == LimitDecision::inside ? 1.0 : 0.0;
        ended.outside += decision == LimitDecision::outside ? 1.0 : 0.0;
        ended.part_used += static_cast<double>(n) / static_cast<double>(plan.most_readings());
    }
    return {ended.inside / runs, ended.outside / runs, ended.part_used / runs};
}

std::string digits_of(double value) {
    char text[16];
    std::snprintf(text, sizeof text, "%.4f", value);
    return text;
}

// Readings of the fixed plan with the same risk on the limit and the same power half a tolerance
// inside, as a part of this plan's: n grows with the square of the quantiles' sum.
double fixed_part(double power) {
    const double needed =
        *statistics::normal_quantile(1.0 - each_risk) + *statistics::normal_quantile(power);
    return needed * needed / (deviations_told * deviations_told);
}

Table group_table(BoundaryShape shape, double r, int runs) {
    const SequentialPlan plan{shape, 5, 16, each_risk};
    const double noise = 4.0 * std::sqrt(each_risk * (1.0 - each_risk) / runs);
    const std::string name = shape == BoundaryShape::pocock ? "Pocock" : "O'Brien and Fleming";
    const auto boundaries = *statistics::group_boundaries(shape, plan.looks, 2.0 * each_risk);
    const auto on_limit = *statistics::group_outcome(boundaries, 0.0);
    const auto half_inside = *statistics::group_outcome(boundaries, deviations_told);
    const double fixed = fixed_part(half_inside.above);
    Table table{"Stopping early: " + name + (r > 0.0 ? ", filtered readings (0.5)" : ""),
                "At most 5 looks of 16 readings, limits at +-4. The last look tells half a "
                "tolerance by five standard deviations, and calls it inside with probability " +
                    digits_of(half_inside.above) +
                    "; a fixed plan with that power and the same risk on the limit takes " +
                    digits_of(fixed) +
                    " of this plan's readings. By quadrature (Armitage, "
                    "McPherson and Rowe 1969) a value on the limit is called inside with "
                    "probability " +
                    digits_of(on_limit.above) + ".",
                {}};
    // O'Brien and Fleming's shape hardly ever stops at the first look: it claims no half.
    const bool early = shape == BoundaryShape::pocock;
    if (!early) table.says += " This shape stops late, so no half is claimed for it.";
    const double half_claimed = early ? 0.5 : 1.0;
    const Ended edge = group_runs(plan, r, tolerance, runs);
    table.shares.push_back(
        {"value on the limit, called inside", each_risk, edge.inside, 0.0, each_risk + noise});
    table.shares.push_back(
        {"value on the limit, called outside", each_risk, edge.outside, 0.0, each_risk + noise});
    const Ended half = group_runs(plan, r, 0.5 * tolerance, runs);
    table.shares.push_back({"half a tolerance inside, part of the fixed plan's readings used",
                            half_claimed, half.part_used / fixed, 0.0, half_claimed});
    table.shares.push_back(
        {"half a tolerance inside, called outside", each_risk, half.outside, 0.0, each_risk});
    const Ended centre = group_runs(plan, r, 0.0, runs);
    table.shares.push_back({"in the middle, part of the fixed plan's readings used", 0.5,
                            centre.part_used / fixed, 0.0, 0.5});
    return table;
}

// theta0 half a tolerance inside, theta1 on the limit.
Ended wald_runs(double deviation, double r, double truth, int runs) {
    const WaldTest test =
        *WaldTest::of({0.5 * tolerance, tolerance, deviation, each_risk, each_risk});
    metrology_test::Random random(6);
    Ended ended;
    for (int t = 0; t < runs; ++t) {
        Readings readings(random, r);
        double sum = 0.0;
        std::size_t n = 0;
        auto state = SequentialState::go_on;
        while (state == SequentialState::go_on) {
            sum += truth + deviation * readings.next();
            ++n;
            const double effective = static_cast<double>(n) / statistics::mean_inflation(n, r);
            state = test.after(effective, sum / static_cast<double>(n));
        }
        ended.inside += state == SequentialState::first ? 1.0 : 0.0;
        ended.outside += state == SequentialState::second ? 1.0 : 0.0;
        ended.part_used += static_cast<double>(n);
    }
    const double worth = (1.0 + r) / (1.0 - r);
    return {ended.inside / runs, ended.outside / runs,
            ended.part_used / runs / (test.fixed_readings() * worth)};
}

Table wald_table(double r, int runs) {
    const double deviation = 8.0;
    const double noise = 4.0 * std::sqrt(each_risk * (1.0 - each_risk) / runs);
    Table table{
        std::string("Stopping early: Wald's test") + (r > 0.0 ? ", filtered readings (0.5)" : ""),
        "Half a tolerance inside against on the limit; the fixed plan has the same risks.",
        {}};
    const Ended edge = wald_runs(deviation, r, tolerance, runs);
    table.shares.push_back(
        {"value on the limit, called inside", each_risk, edge.inside, 0.0, each_risk + noise});
    const Ended half = wald_runs(deviation, r, 0.5 * tolerance, runs);
    table.shares.push_back({"half a tolerance inside, called outside", each_risk, half.outside, 0.0,
                            each_risk + noise});
    table.shares.push_back({"half a tolerance inside, part of the fixed plan's readings used", 0.5,
                            half.part_used, 0.0, 0.5});
    const Ended centre = wald_runs(deviation, r, 0.0, runs);
    table.shares.push_back(
        {"in the middle, part of the fixed plan's readings used", 0.5, centre.part_used, 0.0, 0.5});
    return table;
}

}  // namespace

std::vector<Table> stopping_tables(int runs) {
    std::vector<Table> tables;
    for (const double r : {0.0, 0.5}) {
        tables.push_back(group_table(BoundaryShape::pocock, r, runs));
        tables.push_back(group_table(BoundaryShape::obrien_fleming, r, runs));
        tables.push_back(wald_table(r, runs));
    }
    return tables;
}

}  // namespace padtrim::coverage
