// Lines and trims, each figure worked out here by hand.
//
// The line is through three states at 0, 1 and 2 pF of equal variance: gain = (y2 - y0) / 2,
// intercept = (5 y0 + 2 y1 - y2) / 6, and the residual at 1 pF is minus a third of
// y0 - 2 y1 + y2 (Draper and Smith, Applied Regression Analysis, 1.2).
#include <array>
#include <cmath>

#include <gtest/gtest.h>

#include "station/metrology/monte_carlo.hpp"
#include "tests/station/metrology/hand_made.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::HandMade;

constexpr double close_by = 1e-9;
constexpr double rounding_variance = 1.0 / 12.0;
constexpr double part_value = 0.3;  // pF of the fixture

// Counts by which (gain, offset) move when the three states are moved.
struct Moved {
    double gain, offset;
};
Moved moved(double open, double first, double second) {
    const double gain = 0.5 * (second - open);
    return {gain, (5.0 * open + 2.0 * first - second) / 6.0 - part_value * gain};
}
void expect_pair(const PairCovariance& term, std::initializer_list<Moved> errors,
                 const char* what) {
    double gain = 0.0, offset = 0.0, crossed = 0.0;
    for (const Moved& e : errors) {
        gain += e.gain * e.gain;
        offset += e.offset * e.offset;
        crossed += e.gain * e.offset;
    }
    EXPECT_NEAR(term.gain, gain, close_by * (gain + 1e-6)) << what;
    EXPECT_NEAR(term.offset, offset, close_by * (offset + 1e-6)) << what;
    EXPECT_NEAR(term.both, crossed, close_by * (std::abs(crossed) + 1e-6)) << what;
}

struct ThreeStates {
    TipStep one{1.0}, two{2.0};
    double variance = 0.25;  // of each mean, with what the reference adds
    double rounding = 0.0, part_standard = 0.0;
    std::array<double, 3> memory{};
    [[nodiscard]] std::vector<LinePoint> points() const {
        const double gain = 400.0;
        const auto rest = [&](const TipStep& s) {
            return variance - std::pow(gain * s.independent, 2);
        };
        return {{2000.0, variance, 0.0, nullptr, memory[0]},
                {2400.3, rest(one), 1.0, &one, memory[1]},
                {2800.0, rest(two), 2.0, &two, memory[2]}};
    }
    [[nodiscard]] LineFit fit(double degrees = 21.0) const {
        const auto states = points();
        LineProblem problem;
        const auto line =
            fit_line({states, rounding, degrees, {part_value, part_standard}}, problem);
        EXPECT_TRUE(line) << problem.what;
        return line.value_or(LineFit{});
    }
};

PairCovariance term_of(const LineFit& line, LineTerm term) {
    return line.terms[static_cast<std::size_t>(term)];
}

// JCGM 100 5.1.2 and 5.2.2: independent errors add in squares, one error common to several states
// adds up in them first.
TEST(LineByValue, EveryTermIsWhatItsErrorsMove) {
    ThreeStates s;
    s.one = {1.0, 0.0005, 0.0003, 0.0004, 0.001};
    s.two = {2.0, 0.001, 0.0008, 0.0005, 0.002};
    s.part_standard = 0.004;
    const LineFit line = s.fit();
    EXPECT_NEAR(line.gain, 400.0, 1e-9);
    EXPECT_NEAR(line.offset, (5.0 * 2000.0 + 2.0 * 2400.3 - 2800.0) / 6.0 - 0.3 * 400.0, 1e-9);
    const double g = 400.0, scatter = std::sqrt(0.25);
    const double first = std::sqrt(0.25 - std::pow(g * 0.0005, 2));
    const double second = std::sqrt(0.25 - std::pow(g * 0.001, 2));
    expect_pair(term_of(line, LineTerm::scatter),
                {moved(scatter, 0, 0), moved(0, first, 0), moved(0, 0, second)}, "scatter");
    expect_pair(term_of(line, LineTerm::references),
                {moved(0, g * 0.0005, 0), moved(0, 0, g * 0.001)}, "references");
    expect_pair(term_of(line, LineTerm::meter), {moved(0, g * 0.0003, g * 0.0008)}, "meter");
    expect_pair(term_of(line, LineTerm::temperature), {moved(0, g * 0.0004, g * 0.0005)}, "kelvin");
    expect_pair(term_of(line, LineTerm::definition), {moved(0, g * 0.001, g * 0.002)}, "strays");
    expect_pair(term_of(line, LineTerm::fixture), {{0.0, g * 0.004}}, "fixture");
    PairCovariance sum;
    for (const PairCovariance& term : line.terms) {
        sum.gain += term.gain;
        sum.offset += term.offset;
        sum.both += term.both;
    }
    EXPECT_EQ(line.excess, 1.0);
    EXPECT_NEAR(line.covariance.gain, sum.gain, close_by * sum.gain);
    EXPECT_NEAR(line.covariance.offset, sum.offset, close_by * sum.offset);
    EXPECT_NEAR(line.covariance.both, sum.both, close_by * std::abs(sum.both));
    // JCGM 100 G.4.1: only the scatter has finite degrees.
    EXPECT_NEAR(line.gain_degrees,
                21.0 * std::pow(sum.gain / term_of(line, LineTerm::scatter).gain, 2), 1e-6);
    EXPECT_NEAR(line.offset_degrees,
                21.0 * std::pow(sum.offset / term_of(line, LineTerm::scatter).offset, 2), 1e-6);
}

// Wiring moves anew with every closing: each reference's state by itself, and the fixture's part
// once. Its variance is that of the reading here, so that the weights stay equal.
TEST(LineByValue, FlexingMovesEveryClosedStateAndTheFixturesPart) {
    const TipStep one{1.0}, two{2.0};
    const double flexing = 0.001, counts = 400.0 * flexing;
    const double rest = 0.25 - counts * counts;
    const std::vector<LinePoint> points{
        {2000.0, 0.25, 0.0, nullptr}, {2400.3, rest, 1.0, &one}, {2800.0, rest, 2.0, &two}};
    LineProblem problem;
    const auto line = fit_line({points, 0.0, 21.0, {part_value, 0.0, flexing}}, problem);
    ASSERT_TRUE(line) << problem.what;
    expect_pair(term_of(*line, LineTerm::flexing),
                {moved(0, counts, 0), moved(0, 0, counts), {0.0, counts}}, "flexing");
    // The residual keeps its variance of 2/3 of one state's.
    EXPECT_NEAR(line->departure_standard, std::sqrt(0.25 * 2.0 / 3.0), close_by);
}

// JCGM 100 F.2.2.1: quiet counts keep 1/12 in every mean, and round a repeated state the same way.
TEST(LineByValue, RoundingOfARepeatedStateDoesNotAverageOut) {
    ThreeStates s;
    s.variance = 0.0;
    s.rounding = rounding_variance;
    const double u = std::sqrt(rounding_variance);
    expect_pair(term_of(s.fit(), LineTerm::rounding),
                {moved(u, 0, 0), moved(0, u, 0), moved(0, 0, u)}, "once");
    auto points = s.points();
    points.push_back(points[0]);  // open twice: no drift is fitted yet
    LineProblem problem;
    const auto twice = fit_line({points, rounding_variance, 21.0, {part_value, 0.0}}, problem);
    ASSERT_TRUE(twice) << problem.what;
    expect_pair(term_of(*twice, LineTerm::rounding),
                {moved(u, 0, 0), moved(0, u, 0), moved(0, 0, u)}, "twice");
}

// The memory's error is the same in all states; with little of it the weights stay equal.
TEST(LineByValue, ErrorOfTheFiltersMemoryMovesAllStatesTogether) {
    ThreeStates s;
    s.memory = {1e-6, 3e-6, -2e-6};
    const PairCovariance term = term_of(s.fit(), LineTerm::memory);
    const Moved all = moved(1e-6, 3e-6, -2e-6);
    EXPECT_NEAR(term.gain / (all.gain * all.gain), 1.0, 1e-6);
    EXPECT_NEAR(term.offset / (all.offset * all.offset), 1.0, 1e-6);
}

// The residual at 1 pF is -2 V11 d / c'Vc of d = y0 - 2 y1 + y2, c = (1, -2, 1): with a variance of
// (2 V11)^2 / c'Vc (JCGM 100 5.1.2 for a linear function).
TEST(LineByValue, DepartureKnowsWhatTheLineHasTakenUp) {
    ThreeStates equal;
    const LineFit line = equal.fit();
    EXPECT_NEAR(line.departure, 0.6 / 3.0, close_by);
    EXPECT_NEAR(line.departure_standard, std::sqrt(0.25 * 2.0 / 3.0), close_by);
    TipStep one{1.0, 0.001}, two{2.0};
    const double own = std::pow(400.0 * 0.001, 2);
    const std::vector<LinePoint> points{
        {2000.0, 0.25, 0.0, nullptr}, {2400.3, 0.25, 1.0, &one}, {2800.0, 0.25, 2.0, &two}};
    LineProblem problem;
    const auto unequal = fit_line({points, 0.0, 21.0, {}}, problem);
    ASSERT_TRUE(unequal);
    const double middle = 0.25 + own, contrast = 0.25 + 4.0 * middle + 0.25;
    EXPECT_NEAR(unequal->departure, 2.0 * middle * 0.6 / contrast, close_by);
    EXPECT_NEAR(unequal->departure_standard, 2.0 * middle / std::sqrt(contrast), close_by);
}

language::GainOffsetStep of_two_references() {
    language::GainOffsetStep body;
    body.references = {"R1", "R2"};
    return body;
}

HandMade lined(int deviation = 2) {
    HandMade unit(2, 1);
    for (const std::uint16_t channel : std::initializer_list<std::uint16_t>{0, 1}) {
        unit.reference("R1", 1.0, channel);
        unit.reference("R2", 2.0, channel);
        unit.part(part_value, 0.008, channel);
    }
    unit.state("line", "", {{2000, 1999}, {deviation}});
    unit.state("line", "R1", {{2421, 2378}, {deviation}});
    unit.state("line", "R2", {{2840, 2759}, {deviation}});
    return unit;
}

// % of the span of 2 pF, which is y2 - y0; a state's mean has 2^2 / 7.
TEST(LineByValue, NonLinearityIsTheDepartureInPercentOfTheSpan) {
    HandMade unit = lined(), alone = lined();
    auto body = of_two_references();
    body.non_linearity.high = Percent(1.0);
    unit.step("line", body);
    alone.step("line", language::NonLinearityStep{.references = {"R1", "R2"},
                                                  .non_linearity = {{}, Percent(1.0)}});
    for (const auto& check : {unit.check("non-linearity", 0), alone.check("non-linearity", 0)}) {
        EXPECT_NEAR(check.value, 100.0 * (2.0 / 3.0) / 840.0, close_by);
        EXPECT_NEAR(check.standard_uncertainty, 100.0 * std::sqrt(4.0 / 7.0 * 2.0 / 3.0) / 840.0,
                    close_by);
        EXPECT_NEAR(check.degrees_of_freedom, 21.0, 1e-6);
    }
}

// The joint region of gain and offset has the degrees of the one that is known less (JCGM 100
// G.4.1 for each).
TEST(LineByValue, TheJointRegionHasTheFewerDegrees) {
    HandMade unit = lined();
    unit.step("line", of_two_references());
    const auto result = unit.judged();
    ASSERT_EQ(result.lines.size(), 2U);
    const auto& line = result.lines[0];
    const double u = std::sqrt(4.0 / 7.0), part = 420.0 * 0.004;
    double offset = 0.0, gain = 0.0, crossed = 0.0;
    for (const Moved& m : {moved(u, 0, 0), moved(0, u, 0), moved(0, 0, u)}) {
        gain += m.gain * m.gain;
        offset += m.offset * m.offset;
        crossed += m.gain * m.offset;
    }
    EXPECT_NEAR(line.gain_standard, std::sqrt(gain), close_by);
    EXPECT_NEAR(line.offset_standard, std::sqrt(offset + part * part), close_by);
    EXPECT_NEAR(line.covariance, crossed, close_by);
    // All of the gain's is scatter, of three states with 7 degrees each; the offset knows more.
    EXPECT_NEAR(line.degrees_of_freedom, 21.0, 1e-6);
    // 2.0796 is t of 21 degrees at 97.5 % (Fisher and Yates' table; JCGM 100 Table G.2 has 20: 2.09
    // and 25: 2.06).
    EXPECT_NEAR(line.gain_expanded, 2.0796 * std::sqrt(gain), 1e-4 * line.gain_expanded);
    // Welch and Satterthwaite give the offset 21 (total / scatter)^2 degrees: 1.965 from 380 on.
    const double degrees = 21.0 * std::pow((offset + part * part) / offset, 2);
    ASSERT_GT(degrees, 300.0);
    ASSERT_LT(degrees, 600.0);
    EXPECT_NEAR(line.offset_expanded / line.offset_standard, 1.966, 0.002);
}

// Squares of the weights of three equal states in the offset.
double offset_squares() {
    double sum = 0.0;
    for (const Moved& m : {moved(1, 0, 0), moved(0, 1, 0), moved(0, 0, 1)})
        sum += m.offset * m.offset;
    return sum;
}

// Every source by itself against the law of propagation, 20000 trials: a standard deviation is
// known to 0.5 % then (JCGM 100 E.4.3), four of that are allowed.
TEST(LineByValue, MonteCarloDrawsEverySourceByItself) {
    struct Source {
        const char* name;
        ThreeStates states;
        Moved error;
        double shape = 1.0;  // of the distribution, where it is not the law's
    };
    const double g = 400.0;
    ThreeStates none;
    none.variance = 1e-10;
    std::vector<Source> sources;
    const auto add = [&](const char* name, auto change, Moved error) {
        sources.push_back({name, none, error});
        change(sources.back().states);
    };
    add(
        "meter", [](auto& s) { s.one.common = 0.001, s.two.common = 0.002; },
        moved(0, g * 0.001, g * 0.002));
    add(
        "temperature", [](auto& s) { s.one.temperature = 0.001, s.two.temperature = 0.003; },
        moved(0, g * 0.001, g * 0.003));
    add(
        "definition", [](auto& s) { s.one.definition = 0.002, s.two.definition = 0.003; },
        moved(0, g * 0.002, g * 0.003));
    add("part", [](auto& s) { s.part_standard = 0.002; }, {0.0, g * 0.002});
    // The open state is all but exact: the slope is that of two equal errors through it.
    const double own = g * 0.001 / std::sqrt(5.0);
    add("references", [](auto& s) { s.one.independent = s.two.independent = 0.001; },
        {own, -part_value * own});
    const double third = std::sqrt(rounding_variance);
    add("rounding", [](auto& s) { s.rounding = rounding_variance; },
        {third / std::sqrt(2.0), std::sqrt(rounding_variance * offset_squares())});
    for (Source& source : sources) {
        auto points = source.states.points();
        for (LinePoint& point : points) point.variance = source.states.variance;
        points[1].mean = 2400.0;  // on the line: no excess
        const auto trials = line_trials(
            {points, source.states.rounding, 1e9, {part_value, source.states.part_standard}}, 20000,
            11);
        ASSERT_TRUE(trials) << source.name;
        const auto like = [&](double drawn, double expected) {
            EXPECT_NEAR(drawn, std::abs(expected), 0.02 * std::abs(expected) + 1e-4) << source.name;
        };
        like(trials->gain.standard, source.error.gain);
        like(trials->offset.standard, source.error.offset);
    }
}

// Quiet lines of 420 and 380 counts/pF: trims of 400/420 and 400/380 in 14 bits, offsets of
// 2000.17 and so on less the part in 2 bits; rounded to the nearest, up and down.
class TrimsByValue : public testing::Test {
  protected:
    TrimsByValue() {
        unit.step("line", of_two_references());
        unit.step("write", language::WriteTrimsStep{});
    }
    [[nodiscard]] Trimmed<TrimProposal> proposed() const {
        return propose_trims(unit.plan, unit.plan.fixture.equipment, unit.seen);
    }
    HandMade unit = lined(0);
    static constexpr double bits = 16384.0;
    // (5 y0 + 2 y1 - y2) / 6 - 0.3 gain.
    static constexpr double offsets[] = {(10000.0 + 4842.0 - 2840.0) / 6.0 - 0.3 * 420.0,
                                         (9995.0 + 4756.0 - 2759.0) / 6.0 - 0.3 * 380.0};
};

TEST_F(TrimsByValue, RoundToTheNearestRegisterValueUpAndDown) {
    const auto trims = proposed();
    ASSERT_TRUE(trims) << trims.error().what;
    // 15603.81, 17246.32 and 7497.33, 7538.67.
    EXPECT_EQ(trims->gain, (std::vector<std::int32_t>{15604, 17246}));
    EXPECT_NEAR(400.0 / 420.0 * bits, 15603.81, 0.005);
    EXPECT_NEAR(400.0 / 380.0 * bits, 17246.32, 0.005);
    EXPECT_NEAR(4.0 * offsets[0], 7497.33, 0.005);
    EXPECT_NEAR(4.0 * offsets[1], 7538.67, 0.005);
    EXPECT_EQ(trims->offset, (std::vector<std::int32_t>{7497, 7539}));
}

TEST_F(TrimsByValue, FillTheirRegisterToItsEndsAndNoFurther) {
    auto& gain = unit.plan.map.gain_trim;
    auto& offset = unit.plan.map.offset_trim;
    gain.minimum = 15604.0 / bits;
    gain.maximum = 17246.0 / bits;
    offset.minimum = 7497.0 / 4.0;
    offset.maximum = 7539.0 / 4.0;
    ASSERT_TRUE(proposed());
    const auto refused = [&](double& limit, double value, int channel) {
        const double kept = limit;
        limit = value;
        const auto trims = proposed();
        ASSERT_FALSE(trims);
        EXPECT_EQ(trims.error().channel, channel);
        EXPECT_TRUE(trims.error().out_of_range);
        limit = kept;
    };
    refused(gain.minimum, 15604.1 / bits, 0);
    refused(gain.maximum, 17245.9 / bits, 1);
    refused(offset.minimum, 7497.1 / 4.0, 0);
    // 7538.67 itself lies below this, what it is rounded to above.
    refused(offset.maximum, 7538.9 / 4.0, 1);
}

}  // namespace
}  // namespace padtrim::metrology
