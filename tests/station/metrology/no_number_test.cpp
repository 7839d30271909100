// What is no number, an empty interval, or a negative width gives a named flaw, and never a number,
// at every argument of every function. No outside source.
#include "tests/support/no_number.hpp"

#include <cmath>
#include <optional>
#include <vector>

#include <gtest/gtest.h>

#include "station/metrology/approach.hpp"
#include "station/metrology/budget.hpp"
#include "station/metrology/characterisation.hpp"
#include "station/metrology/conformity.hpp"
#include "station/metrology/disturbance.hpp"
#include "station/metrology/electrode.hpp"
#include "station/metrology/joint_region.hpp"
#include "station/metrology/monte_carlo.hpp"
#include "station/metrology/risk.hpp"
#include "station/metrology/sequential_limit.hpp"
#include "station/metrology/surface.hpp"

namespace padtrim::metrology {
namespace {

using statistics::Checked;
using statistics::Flaw;

using test_support::expect_named;
using test_support::Outcome;
using test_support::outcome_of;

Picofarad pf(double value) {
    return Picofarad(value);
}

TEST(NoNumber, IsNamedByElectrodeAndContact) {
    using D = double;
    const auto kelvin = [](D value, D tc, D from, D to) {
        return outcome_of(
            at_temperature(pf(value), PartsPerMillionPerKelvin(tc), Celsius(from), Celsius(to)));
    };
    const auto settled = [](D ohm, D load, D drive, D allowed) {
        return outcome_of(settling_of(Ohm(ohm), pf(load), Kilohertz(drive), allowed));
    };
    const Impedance open(0.0, -1e6), short_circuit(0.1, 0.2), read(3.0, -1e5);
    expect_named({
        {"value", 1.0, [=](D x) { return kelvin(x, 30.0, 23.0, 40.0); }},
        {"coefficient", 1.0, [=](D x) { return kelvin(1.0, x, 23.0, 40.0); }},
        {"from", 23.0, [=](D x) { return kelvin(1.0, 30.0, x, 40.0); }},
        {"to", 23.0, [=](D x) { return kelvin(1.0, 30.0, 23.0, x); }},
        {"coupling", 1.0, [](D x) { return outcome_of(coupled_step(pf(x), pf(1.0), pf(1.0))); }},
        {"stray", 1.0, [](D x) { return outcome_of(coupled_step(pf(1.0), pf(x), pf(1.0))); }},
        {"reference", 1.0, [](D x) { return outcome_of(coupled_step(pf(1.0), pf(1.0), pf(x))); }},
        {"seen", 0.3, [](D x) { return outcome_of(contact_of(pf(x), pf(1.0))); }},
        {"promised", 1.0, [](D x) { return outcome_of(contact_of(pf(0.3), pf(x))); }},
        {"ohm", 1e3, [=](D x) { return settled(x, 10.0, 250.0, 1e-3); }},
        {"load", 10.0, [=](D x) { return settled(1e3, x, 250.0, 1e-3); }},
        {"drive", 250.0, [=](D x) { return settled(1e3, 10.0, x, 1e-3); }},
        {"allowed", 1e-3, [=](D x) { return settled(1e3, 10.0, 250.0, x); }},
        {"read", 3.0,
         [=](D x) {
             return outcome_of(open_short_corrected({x, 1.0}, open, short_circuit));
         }},
        {"open", 3.0,
         [=](D x) {
             return outcome_of(open_short_corrected(read, {x, 1.0}, short_circuit));
         }},
        {"short", 3.0,
         [=](D x) {
             return outcome_of(open_short_corrected(read, open, {0.1, x}));
         }},
        {"load read", 3.0,
         [=](D x) {
             return outcome_of(
                 open_short_load_corrected(read, open, short_circuit, {x, -9e4}, {3.0, -1e5}));
         }},
        {"reactance", -1e5,
         [](D x) {
             return outcome_of(series_capacitance({1.0, x}, Kilohertz(9.0)));
         }},
        {"frequency", 9.0,
         [](D x) {
             return outcome_of(series_capacitance({1.0, -1e5}, Kilohertz(x)));
         }},
        {"resistance", 1.0,
         [](D x) {
             return outcome_of(parallel_capacitance({x, -1e5}, Kilohertz(9.0)));
         }},
    });
    for (const double part : {-1.0, 0.0})
        EXPECT_EQ(contact_of(pf(1.0), pf(part)).error(), Flaw::not_positive);
    EXPECT_EQ(coupled_step(pf(-1.0), pf(1.0), pf(1.0)).error(), Flaw::not_positive);
    EXPECT_EQ(coupled_step(pf(1.0), pf(-1.0), pf(1.0)).error(), Flaw::not_positive);
    EXPECT_EQ(coupled_step(pf(1.0), pf(1.0), pf(-1.0)).error(), Flaw::not_positive);
}

TEST(NoNumber, IsNamedByLimitsAndRisks) {
    using D = double;
    const Limits allowed{0.0, 1.0};
    const auto process = normal_process(0.5, 0.3);
    const auto rule = *SequentialLimit::of({}, allowed, 0.1);
    expect_named({
        {"value", 0.5, [=](D x) { return outcome_of(distance_inside(x, allowed)); }},
        {"low limit", 0.0,
         [](D x) {
             return outcome_of(distance_inside(0.5, {x, {}}));
         }},
        {"high limit", 1.0,
         [](D x) {
             return outcome_of(distance_inside(0.5, {0.0, x}));
         }},
        {"measured", 0.5,
         [=](D x) {
             return outcome_of(conformance_probability({x, 0.1}, allowed));
         }},
        {"width", 0.1, [=](D x) { return outcome_of(guarded_limits(allowed, x)); }},
        {"deviation", 0.1,
         [=](D x) {
             return outcome_of(global_risk(process, x, allowed, {0.1, 0.9}));
         }},
        {"mean of a process", 0.5,
         [=](D x) {
             return outcome_of(global_risk(normal_process(x, 0.3), 0.1, allowed, allowed));
         }},
        {"spread of a process", 0.5,
         [=](D x) {
             return outcome_of(global_risk(normal_process(0.5, x), 0.1, allowed, allowed));
         }},
        {"shape of a process", 2.0,
         [=](D x) {
             return outcome_of(global_risk(gamma_process(x, 3.0), 0.1, allowed, allowed));
         }},
        {"rate of a process", 2.0,
         [=](D x) {
             return outcome_of(global_risk(gamma_process(3.0, x), 0.1, allowed, allowed));
         }},
        {"band's deviation", 0.1,
         [=](D x) { return outcome_of(guard_band_for(process, x, allowed, 0.01)); }},
        {"band's risk", 0.01,
         [=](D x) { return outcome_of(guard_band_for(process, 0.1, allowed, x)); }},
        {"sequential deviation", 0.1,
         [=](D x) { return outcome_of(SequentialLimit::of({}, allowed, x)); }},
        {"sequential correlation", 0.1,
         [=](D x) { return outcome_of(SequentialLimit::of({}, allowed, 0.1, x)); }},
        {"sequential limit", 1.0,
         [=](D x) {
             return outcome_of(SequentialLimit::of({}, {0.0, x}, 0.1));
         }},
        {"inside", 0.2, [=](D x) { return outcome_of(rule.expected_readings(x)); }},
        {"degrees of a region", 5.0,
         [](D x) {
             return std::isinf(x) && x > 0.0 ? Outcome(Flaw::not_finite)
                                             : outcome_of(joint_limit(x));
         }},
        {"significance", 0.01,
         [](D x) {
             return outcome_of(
                 odd_frequency(std::vector<FrequencyChange>{{1.0, 0.1}, {1.0, 0.1}}, x));
         }},
        {"doubt of a change", 0.1,
         [](D x) {
             return outcome_of(
                 odd_frequency(std::vector<FrequencyChange>{{1.0, x}, {1.0, 0.1}}, 0.01));
         }},
    });
    EXPECT_EQ(guarded_limits(allowed, -0.1).error(), Flaw::not_positive);
    EXPECT_EQ(distance_inside(0.5, {1.0, 0.0}).error(), Flaw::empty_interval);
}

TEST(NoNumber, IsNamedByBudgetsTrialsAndRegions) {
    using D = double;
    const auto parts = [](D variance, D degrees) {
        const VariancePart all[] = {{variance, degrees}, {1.0, 9.0}};
        return outcome_of(welch_satterthwaite(2.0, all));
    };
    const auto budget = [](D value, D standard, D sensitivity) {
        return outcome_of(combine({"x", "mm", value, {{"a", standard, sensitivity, 9.0, {}}}, {}}));
    };
    const auto region = [](D gain, D standard, D covariance, D asked) {
        record::ChannelLine line;
        line.gain = gain;
        line.gain_standard = standard;
        line.offset_standard = 1.0;
        line.covariance = covariance;
        return outcome_of(joint_distance(line, asked, 0.0));
    };
    const auto drawn = [](const InputDistribution& input) {
        return outcome_of(
            propagate([](auto x) { return x[0]; }, std::vector{input}, 1000, 0.95, 1));
    };
    expect_named({
        {"total", 2.0,
         [](D x) {
             const VariancePart one[] = {{1.0, 9.0}};
             return outcome_of(welch_satterthwaite(x, one));
         }},
        {"part", 1.0, [=](D x) { return parts(x, 9.0); }},
        {"value", 1.0, [=](D x) { return budget(x, 1.0, 1.0); }},
        {"standard", 1.0, [=](D x) { return budget(1.0, x, 1.0); }},
        {"sensitivity", 1.0, [=](D x) { return budget(1.0, 1.0, x); }},
        {"coverage", 0.9,
         [](D x) {
             return outcome_of(combine({"x", "mm", 1.0, {{"a", 1.0}}, {}}, x));
         }},
        {"gain", 1.0, [=](D x) { return region(x, 1.0, 0.1, 1.0); }},
        {"its standard", 1.0, [=](D x) { return region(1.0, x, 0.1, 1.0); }},
        {"covariance", 0.1, [=](D x) { return region(1.0, 1.0, x, 1.0); }},
        {"asked", 0.1, [=](D x) { return region(1.0, 1.0, 0.1, x); }},
        {"drawn value", 0.1,
         [=](D x) {
             return drawn({InputShape::normal, x, 1.0, 0.0});
         }},
        {"drawn scale", 0.1,
         [=](D x) {
             return drawn({InputShape::rectangular, 0.0, x, 0.0});
         }},
    });
    EXPECT_EQ(parts(1.0, std::nan("")), Flaw::out_of_domain);
    EXPECT_EQ(parts(-1.0, 9.0), Flaw::not_positive);
    EXPECT_EQ(region(1.0, 1.0, 1.0, 1.0), Flaw::not_positive) << "no area";
}

TEST(NoNumber, IsNamedByHeightsTimesAndPlaces) {
    using D = double;
    const auto surface = [](D height, D change, D standard) {
        const std::vector<CurvePoint> points{{Millimetre(-0.1), 500.0, 1.0},
                                             {Millimetre(0.0), 500.0, standard},
                                             {Millimetre(0.1), 450.0, 1.0},
                                             {Millimetre(height), change, 1.0}};
        return outcome_of(surface_of(points));
    };
    const auto distances = [](D height, D back) {
        const std::vector<HeightReport> down{{Millimetre(1.0), false}, {Millimetre(height), true}};
        const std::vector<HeightReport> up{{Millimetre(0.5), true}, {Millimetre(back), false}};
        return outcome_of(operating_distance(down, up));
    };
    const auto response = [](D reached, D at) {
        const std::vector<TimedReport> reports{{Millisecond(1.0), false}, {Millisecond(at), true}};
        return outcome_of(response_time(Millisecond(reached), reports));
    };
    const auto moved = [](D speed, D slow) {
        const std::vector<Approach> approaches{{MillimetrePerSecond(speed), true}};
        return outcome_of(
            adaptation(approaches, MillimetrePerSecond(slow), MillimetrePerSecond(9)));
    };
    expect_named({
        {"height", 0.3, [=](D x) { return surface(x, 300.0, 1.0); }},
        {"change", 300.0, [=](D x) { return surface(0.3, x, 1.0); }},
        {"its standard", 1.0, [=](D x) { return surface(0.3, 300.0, x); }},
        {"look", 0.5, [=](D x) { return distances(x, 0.9); }},
        {"look back", 0.9, [=](D x) { return distances(0.5, x); }},
        {"reached", 0.5, [=](D x) { return response(x, 9.0); }},
        {"report", 9.0, [=](D x) { return response(0.5, x); }},
        {"speed", 20.0, [=](D x) { return moved(x, 1.0); }},
    });
    EXPECT_EQ(moved(20.0, std::nan("")), Flaw::empty_interval);
    expect_named({{"position", 2.0, [](D x) {
                       const std::vector<PositionReading> track{{0, 0}, {1, 1}, {2, x}, {3, 3.1}};
                       return outcome_of(position_linearity(track));
                   }}});
}

}  // namespace
}  // namespace padtrim::metrology
