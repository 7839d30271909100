// What algebra says of every estimate: shifted, scaled and permuted inputs change it so and not
// otherwise; what is no number, or too little, gives a named flaw. No outside source.
#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/anova.hpp"
#include "db/statistics/correlation.hpp"
#include "db/statistics/least_squares.hpp"
#include "db/statistics/moments.hpp"
#include "db/statistics/sequential.hpp"
#include "db/statistics/series.hpp"
#include "db/statistics/straight_line.hpp"

namespace padtrim::statistics {
namespace {

using Values = std::vector<double>;
using Function = std::function<Checked<double>(const Values&)>;

constexpr std::size_t points = 12;
constexpr double x_of[points] = {0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5};
const Values places(std::begin(x_of), std::end(x_of));
const Values doubts(points, 0.3);

Values drawn(std::uint64_t seed) {
    std::mt19937_64 engine(seed);
    std::normal_distribution<double> normal;
    Values y;
    for (const double x : x_of) y.push_back(4.0 + 3.0 * x + normal(engine));
    return y;
}

// How an estimate answers y -> a + b y (b > 0).
struct Answer {
    bool shifts = false;  // by a, where it is a place
    int power = 0;        // scales with b to this power
};
struct Estimate {
    std::string name;
    Function of;
    Answer answer;
    bool ordered = false;  // the order of the values is part of them
};

template <class Result, class Part>
Checked<double> part_of(const Result& result, Part part) {
    if (!result) return result.error();
    return part(*result);
}

Checked<LeastSquares> plane(const Values& y) {
    Values design;
    for (std::size_t i = 0; i < y.size(); ++i) {
        design.insert(design.end(), {1.0, x_of[i], x_of[i] * x_of[i]});
    }
    return fit_equal(design, 3, y);
}

Checked<Generalised> generalised(const Values& y) {
    Values design, v(y.size() * y.size(), 0.1);
    for (std::size_t i = 0; i < y.size(); ++i) {
        design.insert(design.end(), {1.0, x_of[i]});
        v[i * y.size() + i] += 0.2;
    }
    return fit_generalised(design, 2, y, v);
}

Checked<OneWayAnova> in_groups(const Values& y) {
    if (y.size() < points) return Flaw::too_few_points;
    const std::vector<Values> groups{
        {y.begin(), y.begin() + 4}, {y.begin() + 4, y.begin() + 8}, {y.begin() + 8, y.end()}};
    return one_way_anova(groups);
}

std::vector<Estimate> estimates() {
    const auto line = [](const Values& y) { return line_of_equal(places, y); };
    const auto weighted = [](const Values& y) { return line_of_weighted(places, y, doubts); };
    const auto york = [](const Values& y) { return line_of_york(places, doubts, y, doubts); };
    return {
        {"mean", [](const Values& y) { return Moments::of(y).mean(); }, {true, 1}},
        {"variance", [](const Values& y) { return Moments::of(y).variance(); }, {false, 2}},
        {"slope",
         [=](const Values& y) { return part_of(line(y), [](auto& l) { return l.slope; }); },
         {false, 1},
         true},
        {"intercept",
         [=](const Values& y) { return part_of(line(y), [](auto& l) { return l.intercept; }); },
         {true, 1},
         true},
        {"slope variance",
         [=](const Values& y) {
             return part_of(line(y), [](auto& l) { return l.slope_variance; });
         },
         {false, 2},
         true},
        {"covariance",
         [=](const Values& y) { return part_of(line(y), [](auto& l) { return l.covariance; }); },
         {false, 2},
         true},
        {"weighted slope",
         [=](const Values& y) { return part_of(weighted(y), [](auto& l) { return l.slope; }); },
         {false, 1},
         true},
        {"York's slope of unscaled y",
         [=](const Values& y) { return part_of(york(y), [](auto& l) { return l.chi_squared; }); },
         {false, 99},
         true},
        {"lack of fit",
         [](const Values& y) {
             return part_of(lack_of_fit(places, y), [](auto& l) { return l.f; });
         },
         {false, 0},
         true},
        {"quadratic term",
         [](const Values& y) { return part_of(plane(y), [](auto& f) { return f.estimate[2]; }); },
         {false, 1},
         true},
        {"quadratic term's variance",
         [](const Values& y) { return part_of(plane(y), [](auto& f) { return f.variance(2); }); },
         {false, 2},
         true},
        {"generalised intercept",
         [](const Values& y) {
             return part_of(generalised(y), [](auto& f) { return f.estimate[0]; });
         },
         {true, 1},
         true},
        {"ANOVA's F",
         [](const Values& y) { return part_of(in_groups(y), [](auto& a) { return a.f; }); },
         {false, 0},
         true},
        {"Allan deviation",
         [](const Values& y) { return allan_deviation(y, 2); },
         {false, 1},
         true},
        {"Grubbs' statistic",
         [](const Values& y) {
             return part_of(grubbs(y, 0.05), [](auto& o) { return o.statistic; });
         },
         {false, 0}},
        {"tone's amplitude",
         [](const Values& y) {
             return part_of(strongest_tone(y), [](auto& t) { return t.amplitude; });
         },
         {false, 1},
         true},
        {"lag-one correlation",
         [](const Values& y) { return lag_one(stretch_of(y)); },
         {false, 0},
         true},
    };
}

TEST(Properties, ShiftingAndScalingChangeEstimatesAsAlgebraSays) {
    for (const Estimate& estimate : estimates()) {
        if (estimate.answer.power == 99) continue;  // errors are not scaled along
        for (std::uint64_t seed = 1; seed <= 40; ++seed) {
            const Values y = drawn(seed);
            const double before = *estimate.of(y);
            for (const auto& [a, b] : {std::pair{7.0, 1.0}, {0.0, 2.5}, {-300.0, 0.01}}) {
                Values moved = y;
                for (double& value : moved) value = a + b * value;
                const double expected = before * std::pow(b, estimate.answer.power) +
                                        (estimate.answer.shifts ? a : 0.0);
                const double scale = std::abs(expected) + std::pow(b, estimate.answer.power);
                EXPECT_NEAR(*estimate.of(moved), expected, 1e-7 * scale)
                    << estimate.name << " " << seed;
            }
        }
    }
}

TEST(Properties, TheOrderOfUnorderedValuesDoesNotMatter) {
    std::mt19937_64 engine(3);
    for (const Estimate& estimate : estimates()) {
        if (estimate.ordered) continue;
        const Values y = drawn(9);
        Values shuffled = y;
        for (int i = 0; i < 20; ++i) {
            std::shuffle(shuffled.begin(), shuffled.end(), engine);
            EXPECT_NEAR(*estimate.of(shuffled), *estimate.of(y), 1e-12) << estimate.name;
        }
    }
}

TEST(Properties, TheOrderOfPointsDoesNotMatterToALine) {
    std::mt19937_64 engine(4);
    const Values y = drawn(10);
    const auto line = *line_of_weighted(places, y, doubts);
    const auto york = *line_of_york(places, doubts, y, doubts);
    const auto lack = *lack_of_fit(places, y);
    std::vector<std::size_t> order(points);
    for (std::size_t i = 0; i < points; ++i) order[i] = i;
    for (int t = 0; t < 20; ++t) {
        std::shuffle(order.begin(), order.end(), engine);
        Values px, py;
        for (const std::size_t i : order) {
            px.push_back(places[i]);
            py.push_back(y[i]);
        }
        EXPECT_NEAR(line_of_weighted(px, py, doubts)->slope, line.slope, 1e-12);
        EXPECT_NEAR(line_of_weighted(px, py, doubts)->covariance, line.covariance, 1e-12);
        EXPECT_NEAR(line_of_york(px, doubts, py, doubts)->slope, york.slope, 1e-11);
        EXPECT_NEAR(lack_of_fit(px, py)->f, lack.f, 1e-9);
    }
}

TEST(Properties, WhatIsNoNumberGivesANamedFlawWhereverItStands) {
    const double infinite = std::numeric_limits<double>::infinity();
    for (const Estimate& estimate : estimates()) {
        for (const double bad : {std::nan(""), infinite, -infinite}) {
            for (std::size_t i = 0; i < points; ++i) {
                Values y = drawn(11);
                y[i] = bad;
                const auto result = estimate.of(y);
                ASSERT_FALSE(result.has_value()) << estimate.name << " gave " << *result;
                EXPECT_EQ(result.error(), Flaw::not_finite) << estimate.name << " at " << i;
                EXPECT_FALSE(text_of(result.error()).empty());
            }
        }
    }
}

TEST(Properties, NoneOrOneValueGivesANamedFlaw) {
    for (const Estimate& estimate : estimates()) {
        for (const std::size_t count : {0U, 1U}) {
            const auto result = estimate.of(Values(count, 1.0));
            if (estimate.name == "mean" && count == 1) continue;  // one value has a mean
            ASSERT_FALSE(result.has_value()) << estimate.name << " gave " << *result;
            const Flaw flaw = result.error();
            EXPECT_TRUE(flaw == Flaw::too_few_points || flaw == Flaw::sizes_differ ||
                        flaw == Flaw::not_positive)
                << estimate.name << ": " << text_of(flaw);
        }
    }
}

TEST(Properties, EqualReferencesGiveANamedFlaw) {
    const Values same(points, 2.0), y = drawn(12);
    EXPECT_EQ(line_of_equal(same, y).error(), Flaw::equal_abscissae);
    EXPECT_EQ(line_of_weighted(same, y, doubts).error(), Flaw::equal_abscissae);
    EXPECT_EQ(line_of_york(same, doubts, y, doubts).error(), Flaw::equal_abscissae);
    EXPECT_EQ(lack_of_fit(same, y).error(), Flaw::equal_abscissae);
    Values design;
    for (std::size_t i = 0; i < points; ++i) design.insert(design.end(), {1.0, 2.0});
    EXPECT_EQ(fit_equal(design, 2, y).error(), Flaw::dependent_columns);
    EXPECT_EQ(fit_weighted(design, 2, y, doubts).error(), Flaw::dependent_columns);
}

// Data and its known errors in another unit: every figure in that unit.
TEST(Properties, PredictionsOfKnownErrorsScaleWithTheUnit) {
    const Values y = drawn(13);
    for (const double unit : {1.0, 1000.0, 1e-6}) {
        Values scaled = y, errors = doubts, v(points * points, 0.0);
        for (double& value : scaled) value *= unit;
        for (double& u : errors) u *= unit;
        for (std::size_t i = 0; i < points; ++i) v[i * points + i] = errors[i] * errors[i];
        for (const auto& line :
             {*line_of_weighted(places, scaled, errors), *line_of_correlated(places, scaled, v)}) {
            const auto plain = *line_of_weighted(places, y, doubts);
            EXPECT_NEAR(*prediction_half_width(line, 7.0, 4.0, 0.95, 0.3 * unit) / unit,
                        *prediction_half_width(plain, 7.0, 4.0, 0.95, 0.3), 1e-12);
            const auto there = *inverse_prediction(line, 9.0 * unit, 4.0, 0.95, 0.3 * unit);
            const auto here = *inverse_prediction(plain, 9.0, 4.0, 0.95, 0.3);
            EXPECT_NEAR(there.x, here.x, 1e-12);
            EXPECT_NEAR(there.standard, here.standard, 1e-12);
            EXPECT_NEAR(there.low, here.low, 1e-12);
            EXPECT_NEAR(there.high, here.high, 1e-12);
            // How a new reading scatters does not follow from what the old ones were known to.
            EXPECT_EQ(prediction_half_width(line, 7.0, 4.0, 0.95).error(), Flaw::not_positive);
            EXPECT_EQ(inverse_prediction(line, 9.0, 4.0, 0.95).error(), Flaw::not_positive);
            EXPECT_EQ(prediction_half_width(line, 7.0, 4.0, 0.95, std::nan("")).error(),
                      Flaw::not_finite);
        }
    }
}

TEST(Properties, FarAwayReferencesLeaveTheLineAsSure) {
    const Values y = drawn(14);
    const auto near = *line_of_equal(places, y);
    for (const double shift : {1e4, 1e8, -1e8}) {
        Values far = places, v(points * points, 0.0);
        for (double& x : far) x += shift;
        for (std::size_t i = 0; i < points; ++i) v[i * points + i] = 1.0;
        const auto line = *line_of_equal(far, y);
        const auto whitened = *line_of_correlated(far, y, v);
        const auto beside = *line_of_correlated(places, y, v);
        for (const double x : {-2.0, 0.0, 2.5, 9.0}) {
            EXPECT_NEAR(line.variance_at(x + shift), near.variance_at(x), 1e-6) << shift;
            EXPECT_NEAR(whitened.variance_at(x + shift), beside.variance_at(x), 1e-6) << shift;
            EXPECT_NEAR(line.at(x + shift), near.at(x), 1e-6) << shift;
        }
        EXPECT_NEAR(*prediction_half_width(line, 9.0 + shift, 1.0, 0.95),
                    *prediction_half_width(near, 9.0, 1.0, 0.95), 1e-6);
    }
}

TEST(Properties, WhatIsNoNumberStaysNoneInSums) {
    for (const double bad : {std::nan(""), std::numeric_limits<double>::infinity()}) {
        Values y = drawn(15);
        y[5] = bad;
        const Stretch stretch = stretch_of(y);
        EXPECT_FALSE(std::isfinite(stretch.squares));
        const Stretch all[] = {stretch_of(drawn(16)), stretch};
        EXPECT_TRUE(std::isnan(common_correlation(all)));
        EXPECT_TRUE(std::isnan(correlation_from(stretch.lagged, stretch.squares, points)));
        EXPECT_EQ(pooled_variance(all, 0.0).error(), Flaw::not_finite);
        EXPECT_EQ(pooled_variance(std::span(all, 1), bad).error(), Flaw::not_finite);
    }
}

TEST(Properties, AConstantHasNoShareExplained) {
    const auto line = *line_of_equal(places, Values(points, 2.0));
    EXPECT_EQ(line.r_squared().error(), Flaw::not_positive);
    EXPECT_EQ(line.f_statistic().error(), Flaw::not_positive);
}

TEST(Properties, ACovarianceThatDiffersFromItsTransposeIsNamed) {
    const Values y = drawn(17);
    Values design, v(points * points, 0.1);
    for (std::size_t i = 0; i < points; ++i) {
        design.insert(design.end(), {1.0, x_of[i]});
        v[i * points + i] = 0.3;
    }
    v[1] = 0.1 * (1.0 + 1e-12);  // its rounding is no difference
    EXPECT_TRUE(fit_generalised(design, 2, y, v).has_value());
    EXPECT_TRUE(line_of_correlated(places, y, v).has_value());
    v[1] = 0.2;
    EXPECT_EQ(fit_generalised(design, 2, y, v).error(), Flaw::not_symmetric);
    EXPECT_EQ(line_of_correlated(places, y, v).error(), Flaw::not_symmetric);
}

TEST(Properties, AFlatLineSettlesWithErrorsOnBothAxes) {
    const Values x{0, 1, 2, 3}, y{1, 2, 2, 1}, u{0.1, 0.2, 0.2, 0.1};
    const auto line = line_of_york(x, u, y, u);
    ASSERT_TRUE(line.has_value()) << text_of(line.error());
    EXPECT_NEAR(line->slope, 0.0, 1e-14);
    const Values level(4, 7.0);
    EXPECT_NEAR(line_of_york(x, u, level, u)->slope, 0.0, 1e-14);
}

}  // namespace
}  // namespace padtrim::statistics
