// What is no number gives a named flaw, and never a number, at every argument of every function.
// No outside source.
#include "tests/support/no_number.hpp"

#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/anova.hpp"
#include "db/statistics/binomial.hpp"
#include "db/statistics/correlation.hpp"
#include "db/statistics/distributions.hpp"
#include "db/statistics/least_squares.hpp"
#include "db/statistics/moments.hpp"
#include "db/statistics/resolution.hpp"
#include "db/statistics/sequential.hpp"
#include "db/statistics/series.hpp"
#include "db/statistics/straight_line.hpp"
#include "db/statistics/tolerance.hpp"

namespace padtrim::statistics {
namespace {

using test_support::expect_named;
using test_support::outcome_of;

TEST(NoNumber, IsNamedByDistributionsAndIntervals) {
    using D = double;
    expect_named({
        {"normal quantile", 0.3, [](D x) { return outcome_of(normal_quantile(x)); }},
        {"t", 1.0, [](D x) { return outcome_of(student_probability(x, 5.0)); }, false},
        {"t's degrees", 5.0, [](D x) { return outcome_of(student_probability(1.0, x)); }, false},
        {"t quantile", 0.3, [](D x) { return outcome_of(student_quantile(x, 5.0)); }},
        {"its degrees", 5.0, [](D x) { return outcome_of(student_quantile(0.3, x)); }, false},
        {"coverage", 0.9, [](D x) { return outcome_of(coverage_factor(x, 5.0)); }},
        {"k's degrees", 5.0, [](D x) { return outcome_of(coverage_factor(0.9, x)); }, false},
        {"chi-squared", 3.0, [](D x) { return outcome_of(chi_squared_probability(x, 5.0)); }},
        {"its degrees", 5.0, [](D x) { return outcome_of(chi_squared_probability(3.0, x)); }},
        {"its quantile", 0.3, [](D x) { return outcome_of(chi_squared_quantile(x, 5.0)); }},
        {"F", 2.0, [](D x) { return outcome_of(fisher_upper_probability(x, 3.0, 5.0)); }},
        {"F above", 3.0, [](D x) { return outcome_of(fisher_upper_probability(2.0, x, 5.0)); },
         false},
        {"F quantile", 0.3, [](D x) { return outcome_of(fisher_quantile(x, 3.0, 5.0)); }},
        {"F below", 5.0, [](D x) { return outcome_of(fisher_quantile(0.3, 3.0, x)); }, false},
        {"Wilson", 0.95, [](D x) { return outcome_of(wilson_interval(3, 9, x)); }},
        {"exact share", 0.95, [](D x) { return outcome_of(clopper_pearson_interval(3, 9, x)); }},
        {"content", 0.9,
         [](D x) {
             return outcome_of(tolerance_factor(9, {x, 0.95}, Sides::both));
         }},
        {"confidence", 0.9,
         [](D x) {
             return outcome_of(tolerance_factor(9, {0.9, x}, Sides::one));
         }},
        {"ranks' content", 0.9,
         [](D x) {
             return outcome_of(tolerance_ranks(99, {x, 0.95}));
         }},
        {"sample's content", 0.9,
         [](D x) {
             return outcome_of(tolerance_sample(2, {x, 0.95}));
         }},
    });
}

TEST(NoNumber, IsNamedByScatterAndSequentialTests) {
    using D = double;
    const auto wald = *WaldTest::of({});
    const auto designed = [](double WaldTest::Design::*member) {
        return [member](D x) {
            WaldTest::Design design;
            design.*member = x;
            return outcome_of(WaldTest::of(design));
        };
    };
    expect_named({
        {"rounding", 0.04, [](D x) { return outcome_of(rounding_of_mean(x)); }},
        {"noise", 0.5, [](D x) { return outcome_of(noise_before_rounding(x)); }},
        {"rounding left", 0.1, [](D x) { return outcome_of(rounding_left(x)); }},
        {"squares", 4.0,
         [](D x) {
             return outcome_of(lag_one({5, 0.0, x, 1.0}));
         }},
        {"products", 1.0,
         [](D x) {
             return outcome_of(lag_one({5, 0.0, 4.0, x}));
         }},
        {"squares kept", 4.0,
         [](D x) {
             return outcome_of(Moments::from_parts(5, 0.0, x, -1.0, 1.0).standard_deviation());
         }},
        {"mean kept", 4.0,
         [](D x) { return outcome_of(Moments::from_parts(5, x, 1.0, x, x).mean()); }},
        {"theta0", 0.0, designed(&WaldTest::Design::theta0)},
        {"theta1", 1.0, designed(&WaldTest::Design::theta1)},
        {"deviation", 1.0, designed(&WaldTest::Design::deviation)},
        {"alpha", 0.1, designed(&WaldTest::Design::alpha)},
        {"beta", 0.1, designed(&WaldTest::Design::beta)},
        {"theta", 0.3, [&](D x) { return outcome_of(wald.first_probability(x)); }},
        {"theta of readings", 0.3, [&](D x) { return outcome_of(wald.expected_readings(x)); }},
        {"risk", 0.1,
         [](D x) { return outcome_of(group_boundaries(BoundaryShape::pocock, 2, x)); }},
        {"boundary", 2.0,
         [](D x) {
             return outcome_of(group_outcome(std::vector<double>{2.0, x}, 1.0));
         }},
        {"drift", 1.0, [](D x) { return outcome_of(group_outcome(std::vector<double>{2.0}, x)); }},
        {"significance", 0.05,
         [](D x) {
             return outcome_of(grubbs(std::vector<double>{1, 2, 3, 9}, x));
         }},
    });
    for (const double bad : {std::nan(""), std::numeric_limits<double>::infinity()}) {
        EXPECT_EQ(wald.after(9.0, bad), SequentialState::go_on);
        EXPECT_EQ(wald.after(bad, 9.0), SequentialState::go_on);
    }
    EXPECT_EQ(wald.after(-9.0, 9.0), SequentialState::go_on);
    for (const double r : {1.0, -1.0, 1.5, std::nan("")}) {
        EXPECT_TRUE(std::isnan(mean_inflation(5, r))) << r;
    }
}

TEST(NoNumber, NoVarianceIsNegative) {
    EXPECT_EQ(rounding_of_mean(-0.1).error(), Flaw::not_positive);
    EXPECT_EQ(noise_before_rounding(-0.1).error(), Flaw::not_positive);
    EXPECT_EQ(rounding_left(-0.1).error(), Flaw::not_positive);
    EXPECT_EQ(Moments::from_parts(5, 0.0, -1.0, 0.0, 0.0).variance().error(), Flaw::not_positive);
}

const std::vector<double> stands{0, 1, 2, 3, 4}, rises{1.0, 3.1, 4.9, 7.2, 9.0};
const std::vector<double> spreads(5, 0.2), tilts(5, 0.3);

// Puts a number into one place of a list.
std::vector<double> put_into(std::vector<double> list, double x) {
    list[2] = x;
    return list;
}

TEST(NoNumber, IsNamedByLines) {
    using D = double;
    const auto line = *line_of_equal(stands, rises);
    std::vector<double> v(25, 0.0), design;
    for (std::size_t i = 0; i < 5; ++i) {
        v[6 * i] = 0.04;
        design.insert(design.end(), {1.0, stands[i]});
    }
    const auto covariance = [&](D x) {
        auto changed = v;
        changed[12] = x;
        return changed;
    };
    expect_named({
        {"x", 2.0, [](D x) { return outcome_of(line_of_equal(put_into(stands, x), rises)); }},
        {"weighted x", 2.0,
         [](D x) { return outcome_of(line_of_weighted(put_into(stands, x), rises, spreads)); }},
        {"deviation", 0.2,
         [](D x) { return outcome_of(line_of_weighted(stands, rises, put_into(spreads, x))); }},
        {"correlated x", 2.0,
         [&](D x) { return outcome_of(line_of_correlated(put_into(stands, x), rises, v)); }},
        {"covariance", 0.04,
         [&](D x) { return outcome_of(line_of_correlated(stands, rises, covariance(x))); }},
        {"York's x", 2.0,
         [](D x) {
             return outcome_of(line_of_york(put_into(stands, x), spreads, rises, spreads));
         }},
        {"York's u(x)", 0.2,
         [](D x) {
             return outcome_of(line_of_york(stands, put_into(spreads, x), rises, spreads));
         }},
        {"York's y", 4.9,
         [](D x) {
             return outcome_of(line_of_york(stands, spreads, put_into(rises, x), spreads));
         }},
        {"York's u(y)", 0.2,
         [](D x) {
             return outcome_of(line_of_york(stands, spreads, rises, put_into(spreads, x)));
         }},
        {"York's r", 0.3,
         [](D x) {
             return outcome_of(line_of_york(stands, spreads, rises, spreads, put_into(tilts, x)));
         }},
        {"prediction", 3.0,
         [&](D x) { return outcome_of(prediction_half_width(line, x, 1.0, 0.95)); }},
        {"its readings", 3.0,
         [&](D x) { return outcome_of(prediction_half_width(line, 3.0, x, 0.95)); }, false},
        {"its coverage", 0.9,
         [&](D x) { return outcome_of(prediction_half_width(line, 3.0, 1.0, x)); }},
        {"its deviation", 0.9,
         [&](D x) { return outcome_of(prediction_half_width(line, 3.0, 1.0, 0.95, x)); }},
        {"inverse", 3.0, [&](D x) { return outcome_of(inverse_prediction(line, x, 1.0, 0.95)); }},
        {"its deviation", 0.1,
         [&](D x) { return outcome_of(inverse_prediction(line, 3.0, 1.0, 0.95, x)); }},
        {"lack of fit", 2.0,
         [](D x) {
             const std::vector<double> at{0, 0, 1, x, 2};
             return outcome_of(lack_of_fit(at, rises));
         }},
        {"design", 2.0,
         [&](D x) {
             auto changed = design;
             changed[5] = x;
             return outcome_of(fit_equal(changed, 2, rises));
         }},
        {"general covariance", 0.04,
         [&](D x) { return outcome_of(fit_generalised(design, 2, rises, covariance(x))); }},
        {"general deviation", 0.2,
         [&](D x) { return outcome_of(fit_weighted(design, 2, rises, put_into(spreads, x))); }},
    });
}

// Numbers whose squares are none: named as well, wherever they stand.
TEST(NoNumber, WhatIsTooLargeToSquareIsNamed) {
    for (const double huge : {1e200, -1e200, 1e308}) {
        const auto y = put_into(rises, huge);
        EXPECT_FALSE(line_of_equal(stands, y).has_value());
        EXPECT_FALSE(line_of_equal(y, rises).has_value());
        EXPECT_FALSE(line_of_weighted(stands, y, spreads).has_value());
        EXPECT_FALSE(lack_of_fit(std::vector<double>{0, 0, 1, 1, 2}, y).has_value());
        EXPECT_FALSE(line_of_york(stands, spreads, y, spreads).has_value());
        EXPECT_FALSE(Moments::of(y).variance().has_value());
        EXPECT_FALSE(allan_deviation(y, 1).has_value());
        const std::vector<std::vector<double>> groups{{1, 2, 3}, y};
        EXPECT_FALSE(one_way_anova(groups).has_value());
        std::vector<double> design, v(25, 0.0);
        for (std::size_t i = 0; i < 5; ++i) {
            design.insert(design.end(), {1.0, stands[i]});
            v[6 * i] = 0.04;
        }
        EXPECT_FALSE(fit_equal(design, 2, y).has_value());
        EXPECT_FALSE(fit_generalised(design, 2, y, v).has_value());
        EXPECT_FALSE(line_of_correlated(stands, y, v).has_value());
    }
}

}  // namespace
}  // namespace padtrim::statistics
