#include "station/metrology/electrode.hpp"

#include <cmath>
#include <random>

#include <gtest/gtest.h>

#include "station/metrology/disturbance.hpp"

namespace padtrim::metrology {
namespace {

using statistics::Flaw;

TEST(OpenShort, UndoesAnySeriesAndShuntResidual) {
    std::mt19937_64 engine(1);
    std::normal_distribution<double> normal;
    for (int i = 0; i < 100; ++i) {
        const Impedance series(normal(engine), normal(engine));
        const Impedance shunt(1e6 * normal(engine), -1e6 - 1e5 * std::abs(normal(engine)));
        const Impedance dut(10.0 * normal(engine), -1e5 * (1.0 + std::abs(normal(engine))));
        const Impedance measured = series + dut * shunt / (dut + shunt);
        const Impedance open = series + shunt;
        const auto corrected = *open_short_corrected(measured, open, series);
        EXPECT_LT(std::abs(corrected - dut) / std::abs(dut), 1e-10);
    }
}

TEST(OpenShort, NamesEveryBadInput) {
    EXPECT_EQ(open_short_corrected({1, 0}, {5, 0}, {5, 0}).error(), Flaw::not_positive);
    EXPECT_EQ(open_short_corrected({5, 0}, {5, 0}, {1, 0}).error(), Flaw::not_positive);
    EXPECT_EQ(open_short_corrected({NAN, 0}, {5, 0}, {1, 0}).error(), Flaw::not_finite);
    EXPECT_EQ(series_capacitance({1.0, 5.0}, Kilohertz(100.0)).error(), Flaw::not_positive);
    EXPECT_EQ(series_capacitance({1.0, -5.0}, Kilohertz(0.0)).error(), Flaw::not_positive);
}

TEST(TemperatureCode, KnowsClassOneAndRefusesTheRest) {
    // EIA-198 class 1: P2H is N150 +-60, S2H N330 (from memory).
    EXPECT_EQ(coefficient_of_code("P2H")->nominal.value(), -150.0);
    EXPECT_EQ(coefficient_of_code("P2H")->half_width.value(), 60.0);
    EXPECT_EQ(coefficient_of_code("S2H")->nominal.value(), -330.0);
    for (const char* code : {"X7R", "C0", "C0GG", "", "CXG"}) {
        EXPECT_FALSE(coefficient_of_code(code)) << code;
    }
}

TEST(CoupledStep, IsTheDifferenceOfTwoSeriesCircuits) {
    // Coupling in series with stray, and with stray plus reference; the step is what closing adds.
    const double cc = 0.5, cs = 12.0, cr = 1.0;
    const double closed = cc * (cs + cr) / (cc + cs + cr), open = cc * cs / (cc + cs);
    EXPECT_NEAR(coupled_step(Picofarad(cc), Picofarad(cs), Picofarad(cr))->value(), closed - open,
                1e-15);
    EXPECT_NEAR(coupled_step(Picofarad(1e9), Picofarad(cs), Picofarad(cr))->value(), cr, 1e-7);
    EXPECT_EQ(coupled_step(Picofarad(0.0), Picofarad(cs), Picofarad(cr))->value(), 0.0);
}

TEST(ContactOf, SolvesForTheOpenContact) {
    EXPECT_EQ(contact_of(Picofarad(0.98), Picofarad(1.0))->state, ContactState::closed);
    EXPECT_EQ(contact_of(Picofarad(2.1), Picofarad(1.0))->state, ContactState::shorted_reference);
    const Picofarad seen = *coupled_step(Picofarad(0.4), Picofarad(0.0), Picofarad(1.0));
    const auto open = *contact_of(seen, Picofarad(1.0));
    EXPECT_EQ(open.state, ContactState::open);
    EXPECT_NEAR(open.series->value(), 0.4, 1e-12);
}

TEST(SettlingOf, LeavesExactlyWhatIsAllowedAtTheHighestFrequency) {
    const auto there = *settling_of(Ohm(10e3), Picofarad(20.0), Kilohertz(400.0), 1e-3);
    const auto at = *settling_of(Ohm(10e3), Picofarad(20.0), there.highest_frequency, 1e-3);
    EXPECT_NEAR(at.missing, 1e-3, 1e-12);
    EXPECT_NEAR(at.error.value(), 0.02, 1e-10);
    const auto loaded = *settling_of(Ohm(10e3), there.largest_load, Kilohertz(400.0), 1e-3);
    EXPECT_NEAR(loaded.missing, 1e-3, 1e-12);
    EXPECT_TRUE(std::isinf(
        settling_of(Ohm(0.0), Picofarad(20.0), Kilohertz(1.0), 1e-3)->highest_frequency.value()));
    EXPECT_EQ(settling_of(Ohm(1.0), Picofarad(1.0), Kilohertz(0.0), 1e-3).error(),
              Flaw::not_positive);
    EXPECT_EQ(settling_of(Ohm(1.0), Picofarad(1.0), Kilohertz(1.0), 1.0).error(),
              Flaw::out_of_domain);
}

TEST(OddFrequency, NamesTheDisturbedOneOfThreeToEight) {
    for (std::size_t count = 3; count <= 8; ++count) {
        for (std::size_t disturbed = 0; disturbed < count; ++disturbed) {
            std::vector<FrequencyChange> changes(count, {1.0, 0.01});
            changes[disturbed].change = 1.08;
            const auto odd = *odd_frequency(changes, 0.01);
            ASSERT_TRUE(odd.odd.has_value());
            EXPECT_EQ(*odd.odd, disturbed);
        }
    }
}

TEST(OddFrequency, AccusesNobodyMoreOftenThanItSays) {
    std::mt19937_64 engine(2);
    std::normal_distribution<double> normal;
    int accused = 0;
    for (int t = 0; t < 5000; ++t) {
        std::vector<FrequencyChange> changes;
        for (int f = 0; f < 4; ++f) changes.push_back({1.0 + 0.01 * normal(engine), 0.01});
        accused += odd_frequency(changes, 0.05)->odd ? 1 : 0;
    }
    EXPECT_LE(accused / 5000.0, 0.05 + 0.012);
    EXPECT_GE(accused / 5000.0, 0.02);
}

TEST(OddFrequency, CannotTellWhichOfTwoIsRight) {
    const std::vector<FrequencyChange> two{{1.0, 0.01}, {2.0, 0.01}};
    const auto odd = *odd_frequency(two, 0.05);
    EXPECT_FALSE(odd.odd);
    EXPECT_GT(std::abs(odd.score[0]), odd.limit);
    EXPECT_EQ(odd_frequency({two.data(), 1}, 0.05).error(), Flaw::too_few_points);
    const std::vector<FrequencyChange> bad{{1.0, 0.01}, {2.0, 0.0}};
    EXPECT_EQ(odd_frequency(bad, 0.05).error(), Flaw::not_positive);
    EXPECT_EQ(odd_frequency(two, 0.0).error(), Flaw::out_of_domain);
}

TEST(PeakGrowth, IsMoreForMoreReadings) {
    EXPECT_NEAR(*peak_growth(8, 64), 4.687467 / 2.847201, 1e-6);
    EXPECT_EQ(peak_growth(1, 64).error(), Flaw::too_few_points);
}

}  // namespace
}  // namespace padtrim::metrology
