// Uncertainties of noise, verification, frequencies and touch, each worked out here from the
// formula of JCGM 100 that is named beside it, out of readings made by hand.
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/correlation.hpp"
#include "station/metrology/line_report.hpp"
#include "station/metrology/state_means.hpp"
#include "tests/station/metrology/hand_made.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::HandMade;

constexpr double agreed = 1e-9;  // the correlation is solved for, to 1e-10
constexpr double twelfth = 1.0 / 12.0;

void expect_measured(const record::CheckResult& check, double value, double standard,
                     double degrees, double part = agreed) {
    EXPECT_NEAR(check.value, value, part * std::max(1.0, std::abs(value))) << check.check;
    EXPECT_NEAR(check.standard_uncertainty, standard, part * standard) << check.check;
    EXPECT_NEAR(check.degrees_of_freedom, degrees, 10.0 * part * degrees) << check.check;
}

HandMade noise_of(std::initializer_list<int> deviations) {
    HandMade unit(1, 1);
    unit.step("noise", language::NoiseStep{.noise = {{}, Counts(50.0)}});
    for (const int a : deviations) unit.state("noise", "", {{2000}, {a}});
    return unit;
}

// JCGM 100 E.4.3: the standard deviation of s is s / sqrt(2 v).
TEST(NoiseByValue, IsTheDeviationWithItsOwnUncertainty) {
    const double one = std::sqrt(8.0 * 16.0 / 7.0);
    expect_measured(noise_of({4}).check("noise"), one, one / std::sqrt(2.0 * 7.0), 7.0);
    // Pooled over two states of unequal width (JCGM 100 4.2.4).
    const double pooled = std::sqrt((8.0 * 16.0 + 8.0 * 36.0) / 14.0);
    expect_measured(noise_of({4, 6}).check("noise"), pooled, pooled / std::sqrt(2.0 * 14.0), 14.0);
}

// JCGM 100 F.2.2.1: quiet counts are known to the resolution over sqrt(12).
TEST(NoiseByValue, OfQuietCountsIsKnownToTheResolution) {
    expect_measured(noise_of({0}).check("noise"), 0.0, std::sqrt(twelfth / 14.0), 7.0);
}

// A first-order autoregression with correlation r: expected sums about the mean of n readings by
// summing r^|i-k| term by term (Priestley, Spectral Analysis and Time Series, 5.3.1).
struct Autoregression {
    double squares = 0.0, lagged = 0.0, inflation = 0.0;
    Autoregression(int n, double r) {
        const auto c = [r](int i, int k) { return std::pow(r, std::abs(i - k)); };
        const auto row = [&](int i) {
            double sum = 0.0;
            for (int k = 0; k < n; ++k) sum += c(i, k) / n;
            return sum;
        };
        double all = 0.0;
        for (int i = 0; i < n; ++i) all += row(i) / n;
        for (int i = 0; i < n; ++i) squares += 1.0 - 2.0 * row(i) + all;
        for (int i = 0; i + 1 < n; ++i) lagged += r - row(i) - row(i + 1) + all;
        inflation = n * all;
    }
};

TEST(NoiseByValue, OfFilteredReadingsCountsThemByTheirEffectiveNumber) {
    HandMade unit(1, 1);
    unit.step("noise", language::NoiseStep{.noise = {{}, Counts(50.0)}});
    // Three of the seven products are negative: lagged / squares is 1/8.
    unit.state("noise", "", {{2000}, {5}}, {1, 1, 1, -1, -1, -1, 1, -1});
    double low = 0.0, high = 0.9;
    for (int i = 0; i < 60; ++i) {
        const double r = 0.5 * (low + high);
        const Autoregression seen(8, r);
        (seen.lagged / seen.squares < 1.0 / 8.0 ? low : high) = r;
    }
    const double f = Autoregression(8, low).inflation;
    const double s = std::sqrt(8.0 * 25.0 / (8.0 - f));
    // Squares are correlated with r^2k at lag k (Bayley and Hammersley, Suppl. J. R. Stat. Soc. 8
    // (1946) 184).
    const double degrees = (8.0 - f) * (1.0 - low * low) / (1.0 + low * low);
    expect_measured(unit.check("noise"), s, s / std::sqrt(2.0 * degrees), degrees, 1e-7);
}

HandMade verified(int deviation, std::size_t channels = 1) {
    HandMade unit(channels, 1);
    unit.step("verify", language::VerifyStep{.reference = "R5",
                                             .gain_error = {{}, Percent(90.0)},
                                             .offset_error = {{}, Counts(900.0)},
                                             .finger = false});
    auto& step = unit.reference("R5", 1.5);
    step.expanded_uncertainty = Picofarad(0.006);
    step.common_relative = 0.001;
    auto& equipment = unit.plan.fixture.equipment;
    equipment.definition_relative = 0.001;
    equipment.temperature_coefficient = PartsPerMillionPerKelvin(100.0);
    unit.part(0.4, 0.015).coverage_factor = 3.0;
    // The first open state is not beside the reference and says nothing of it.
    const int levels[] = {2300, 2163, 2773, 2163};
    for (const int level : levels) {
        auto& state = unit.state("verify", level == 2773 ? "R5" : "", {{level}, {deviation}});
        state.reading = record::Reading::corrected;
    }
    return unit;
}

// change / (400 counts/pF * 1.5 pF) - 1. JCGM 100 equation 10: relative variances of readings and
// of the step add up; the step's are the certificate's (U / k), 0.001 of definition, and 100 ppm/K
// of a temperature that nobody read, 5 K half-width (4.3.7).
TEST(VerifyByValue, GainErrorHoldsReadingsAndStep) {
    const double kelvin = 5.0 / std::sqrt(3.0);
    const double step = std::pow(0.003 / 1.5, 2) + std::pow(0.001, 2) + std::pow(1e-4 * kelvin, 2);
    // Means of one state and of two, 2^2 / 7 each; four states have 7 degrees each. Counts were
    // rounded before they were corrected, which this noise averages out, and after, which it does
    // not (F.2.2.1).
    const double readings = (4.0 / 7.0 + 4.0 / 14.0 + 2.0 * twelfth) / (600.0 * 600.0);
    const double all = readings + step;
    expect_measured(verified(2).check("gain error"), 100.0 * (610.0 / 600.0 - 1.0),
                    100.0 * std::sqrt(all), 28.0 * std::pow(all / readings, 2));
    // Quiet: each mean keeps both roundings, however many states it is of.
    const double quiet = 4.0 * twelfth / (600.0 * 600.0);
    const double sum = quiet + step;
    expect_measured(verified(0).check("gain error"), 100.0 * (610.0 / 600.0 - 1.0),
                    100.0 * std::sqrt(sum), 28.0 * std::pow(sum / quiet, 2));
}

// open - 400 counts/pF * 0.4 pF - 2000; the part has U / k = 0.005 pF.
TEST(VerifyByValue, OffsetErrorHoldsReadingsAndTheFixturesPart) {
    const double readings = 4.0 / 14.0 + twelfth, part = 400.0 * 0.005 * 400.0 * 0.005;
    const double quiet = 2.0 * twelfth;
    expect_measured(verified(2).check("offset error"), 3.0, std::sqrt(readings + part),
                    28.0 * std::pow((readings + part) / readings, 2));
    expect_measured(verified(0).check("offset error"), 3.0, std::sqrt(quiet + part),
                    28.0 * std::pow((quiet + part) / quiet, 2));
}

// Wiring that moves by up to 0.02 pF as a relay closes: rectangular, JCGM 100 4.3.7.
TEST(VerifyByValue, BothErrorsHoldTheFlexingThatTheProfileStates) {
    HandMade unit = verified(2);
    const auto before = unit.check("gain error"), offset_before = unit.check("offset error");
    unit.plan.fixture.equipment.flexing = Picofarad(0.02);
    const double flexing = 0.02 / std::sqrt(3.0);
    EXPECT_NEAR(unit.check("gain error").standard_uncertainty,
                std::hypot(before.standard_uncertainty, 100.0 * flexing / 1.5), agreed);
    EXPECT_NEAR(unit.check("offset error").standard_uncertainty,
                std::hypot(offset_before.standard_uncertainty, 400.0 * flexing), agreed);
}

HandMade touched(const char* limited) {
    HandMade unit(2, 1);
    language::TouchStep body;
    body.keys = {"key 1"};
    const std::string name = limited;
    if (name == "touch response") body.response.high = Counts(900.0);
    if (name == "crosstalk") body.crosstalk.high = Percent(90.0);
    if (name == "signal-to-noise") body.signal_to_noise.low = Ratio(1.0);
    unit.step("touch", body);
    unit.state("touch", "", {{2000, 2100}, {3, 2}}).finger = unit.finger("key 1", 30.0);
    unit.state("touch", "", {{2350, 2114}, {6, 4}}).finger = unit.finger("key 1", 0.0);
    unit.look("touch", "key 1", 30.0, false);
    unit.look("touch", "key 1", 0.0, true);
    return unit;
}

// Means touched and lifted (JCGM 100 5.1.2): the finger's noise is the touched state's own, 8 a^2/7
// of 7 degrees; lifted states share the pooled one of 14.
constexpr double of_touch = 36.0 / 7.0, of_lift = (8.0 * 9.0 + 8.0 * 36.0) / 14.0 / 8.0;
constexpr double response_variance = of_touch + of_lift;
double response_degrees() {  // JCGM 100 G.4.1
    return std::pow(response_variance, 2) / (of_touch * of_touch / 7.0 + of_lift * of_lift / 14.0);
}

TEST(TouchByValue, ResponseHoldsTheNoiseOfBothStates) {
    expect_measured(touched("touch response").check("touch response", 0), 350.0,
                    std::sqrt(response_variance), response_degrees());
}

// 100 * 14 / 350: relative variances of a quotient add up (JCGM 100 equation 12).
TEST(TouchByValue, CrosstalkIsAQuotientOfTwoMeasuredChanges) {
    const double moved = 16.0 / 7.0 + (8.0 * 4.0 + 8.0 * 16.0) / 14.0 / 8.0;
    const double relative = moved / (14.0 * 14.0) + response_variance / (350.0 * 350.0);
    const auto check = touched("crosstalk").check("crosstalk", 0);
    EXPECT_NEAR(check.value, 4.0, agreed);
    EXPECT_NEAR(check.standard_uncertainty, 4.0 * std::sqrt(relative), agreed);
}

// Peak-to-peak of 8 readings: mean 2.847, deviation 0.820 standard deviations (d2 and d3 of
// ISO 7870-2, Table 2).
TEST(TouchByValue, SignalToNoiseKnowsHowMuchAPeakToPeakVaries) {
    const double ratio = 350.0 / 12.0, relative = 0.820 / 2.847;
    const double variance = response_variance / 144.0 + std::pow(ratio * relative, 2);
    const auto check = touched("signal-to-noise").check("signal-to-noise", 0);
    EXPECT_NEAR(check.value, ratio, agreed * ratio);
    EXPECT_NEAR(check.standard_uncertainty, std::sqrt(variance), 1e-3 * std::sqrt(variance));
}

HandMade three_frequencies(std::vector<int> deviation) {
    HandMade unit(1, 3);
    unit.step("frequencies",
              language::FrequencyStep{.reference = "R2", .departure = {{}, Percent(90.0)}});
    unit.reference("R2", 1.0);
    unit.state("frequencies", "", {{2000, 2100, 2200}, deviation});
    unit.state("frequencies", "R2", {{2400, 2520, 2580}, deviation});
    unit.state("frequencies", "", {{2004, 2100, 2200}, deviation});
    return unit;
}

// 100 |change / mean of the others - 1|. Changes 398, 420, 380 counts against the mean of the open
// states beside them: a variance of (1 + 1/4 + 1/4) that of a state's mean each.
TEST(FrequencyByValue, DepartureHoldsItsOwnScatterAndThatOfTheOthers) {
    const HandMade unit = three_frequencies({2, 4, 6});
    const double own = 1.5 * 4.0 / 7.0, second = 1.5 * 16.0 / 7.0, third = 1.5 * 36.0 / 7.0;
    const double others = (420.0 + 380.0) / 2.0, ratio = 398.0 / others;
    const double variance =
        own / (398.0 * 398.0) + (second + third) / 4.0 / (others * others);  // equation 12
    const auto check = unit.check("frequency departure", 0, 0);
    EXPECT_NEAR(check.value, 100.0 * (1.0 - ratio), agreed);
    EXPECT_NEAR(check.standard_uncertainty, 100.0 * ratio * std::sqrt(variance), agreed);
    EXPECT_NEAR(check.degrees_of_freedom, 21.0, 1e-7);
    const auto next = unit.check("frequency departure", 0, 1);
    EXPECT_NEAR(next.value, 100.0 * (420.0 / 389.0 - 1.0), agreed);
}

// Gains of 400, 200 and 800 counts/pF: the changes differ by much, and none stands out from its own
// gain. With 3 % more at one of them that one does, though it is the smallest change.
TEST(FrequencyByValue, TheOddOneIsSoughtAmongChangesOverTheirGains) {
    const auto unit_with = [](int second) {
        HandMade unit(1, 3);
        unit.reference("R1", 1.0);
        unit.reference("R2", 2.0);
        unit.step("line",
                  language::GainOffsetStep{
                      .references = {"R1", "R2"}, .gain = {}, .offset = {}, .non_linearity = {}});
        unit.step("frequencies",
                  language::FrequencyStep{.reference = "R2", .departure = {{}, Percent(1.0)}});
        for (const int step : {0, 1, 0, 2, 0})
            unit.state("line",
                       step == 0   ? ""
                       : step == 1 ? "R1"
                                   : "R2",
                       {{2000 + 400 * step, 2000 + 200 * step, 2000 + 800 * step}, {2}});
        unit.state("frequencies", "", {{2000}, {2}});
        unit.state("frequencies", "R2", {{2800, 2000 + second, 3600}, {2}});
        unit.state("frequencies", "", {{2000}, {2}});
        return unit;
    };
    const auto stands_out = [](const HandMade& unit, int frequency) {
        return unit.check("frequency departure", 0, frequency).note.find("stands out") !=
               std::string::npos;
    };
    const HandMade alike = unit_with(400), odd = unit_with(412);
    for (const int f : {0, 1, 2}) EXPECT_FALSE(stands_out(alike, f)) << f;
    for (const int f : {0, 1, 2}) EXPECT_EQ(stands_out(odd, f), f == 1) << f;
}

// A filter that keeps half: readings die away from the state before, exactly by halves, with the
// hand-made scatter on top of two of them. r is that of the regression of each reading on the one
// before (Draper and Smith, 1.4); its variance is the sum of all covariances of what is left, which
// reach only neighbours where they are negative. An error of r moves a mean by (last - first) /
// ((n - 1) (1 - r)^2), and both levels of a verification together.
TEST(VerifyByValue, BothErrorsHoldTheDoubtOfTheFiltersMemory) {
    // Many channels, all alike: then first scans stand out by more than chance.
    constexpr std::size_t channels = 6;
    HandMade unit = verified(1, channels);
    struct Decay {
        double level, from;
    };
    const Decay decays[] = {{2300, 0}, {2163, 128}, {2773, -640}, {2163, 640}};
    double products = 0.0, before = 0.0;
    std::vector<double> slope;
    std::vector<std::vector<double>> befores, afters;
    for (std::size_t s = 0; s < 4; ++s) {
        auto& scans = unit.seen.readings[s].scans;
        std::vector<double> y;
        for (std::size_t k = 0; k < scans.size(); ++k) {
            for (auto& count : scans[k].counts)
                count += static_cast<int>(std::lround(decays[s].from / std::pow(2.0, double(k))));
            y.push_back(scans[k].counts[0]);
        }
        double mean_before = 0.0, mean_after = 0.0;
        for (std::size_t k = 1; k < 8; ++k) {
            mean_before += y[k - 1] / 7.0;
            mean_after += y[k] / 7.0;
        }
        befores.emplace_back();
        afters.emplace_back();
        for (std::size_t k = 1; k < 8; ++k) {
            befores.back().push_back(y[k - 1] - mean_before);
            afters.back().push_back(y[k] - mean_after);
            products += befores.back().back() * afters.back().back();
            before += std::pow(befores.back().back(), 2);
        }
        slope.push_back((y[7] - y[0]) / 7.0);
    }
    const double r = products / before;
    std::vector<statistics::Stretch> left;
    for (std::size_t i = 0; i < 4; ++i) {
        std::vector<double> rest;
        for (std::size_t k = 0; k < 7; ++k) rest.push_back(afters[i][k] - r * befores[i][k]);
        left.push_back(statistics::stretch_of(rest));
    }
    const double alike = statistics::common_correlation(left);
    double squares = 0.0, moved = 0.0;
    for (std::size_t i = 0; i < 4; ++i) {
        squares += left[i].squares;
        for (std::size_t k = 0; k < 7; ++k)
            for (std::size_t m = 0; m < 7; ++m) {
                const std::size_t lag = k > m ? k - m : m - k;
                const bool reaches = alike > 0.0 || lag <= 1;
                moved += reaches ? befores[i][k] * befores[i][m] * std::pow(alike, double(lag)) : 0;
            }
    }
    const double variance = squares / (4.0 * (7.0 - statistics::mean_inflation(7, alike)));
    // The channels are alike: their sums grow with their number, the variance of one does not.
    const double of_r = std::sqrt(variance * moved / channels) / before;
    EXPECT_NEAR(r, 0.5, 0.02);
    const double scale = of_r / std::pow(1.0 - r, 2);
    const double open = 0.5 * (slope[1] + slope[3]) * scale, with = slope[2] * scale;
    const auto memory_of = [](const Budget& budget) {
        for (const BudgetTerm& term : budget.terms)
            if (term.name == "memory of the product's filter") return term.contribution();
        return 0.0;
    };
    const auto budgets = check_budgets(unit.plan, unit.plan.fixture.equipment, unit.seen);
    ASSERT_EQ(budgets.size(), 2U);
    EXPECT_NEAR(memory_of(budgets[0].budget), 100.0 * std::abs(with - open) / 600.0, 1e-9);
    EXPECT_NEAR(memory_of(budgets[1].budget), std::abs(open), 1e-9);
    EXPECT_GT(std::abs(with - open), 0.1) << "enough to matter";
}

// Quiet counts: each of the three means keeps 1/12.
TEST(FrequencyByValue, DepartureOfQuietCountsKeepsTheirRounding) {
    const double mean = 1.5 * twelfth, others = 400.0, ratio = 398.0 / others;
    const double variance = mean / (398.0 * 398.0) + 2.0 * mean / 4.0 / (others * others);
    EXPECT_NEAR(three_frequencies({0}).check("frequency departure", 0, 0).standard_uncertainty,
                100.0 * ratio * std::sqrt(variance), agreed);
}

// One reference on one channel, in percent of what the nominal gain promises (400 counts/pF).
TEST(ContactByValue, HoldsTheScatterOfBothStatesAndTheirRounding) {
    for (const int a : {0, 3}) {
        HandMade unit(2, 1);
        unit.step("contacts", language::ContactStep{.reference = "R2",
                                                    .contact = {Percent(1.0), {}},
                                                    .isolation = {{}, Percent(50.0)}});
        for (const std::uint16_t channel : std::initializer_list<std::uint16_t>{0, 1})
            unit.reference("R2", 1.25, channel);
        unit.state("contacts", "", {{2000, 2100}, {a, 2 * a}});
        unit.state("contacts", "R2", {{2450, 2115}, {a, 2 * a}}).channels = {0};
        unit.state("contacts", "R2", {{2005, 2600}, {a, 2 * a}}).channels = {1};
        unit.state("contacts", "", {{2000, 2100}, {a, 2 * a}});
        const double rounding = a == 0 ? 2.0 * twelfth : 0.0;
        const double one = a * a / 7.0;
        const auto contact = unit.check("contact", 0);
        EXPECT_NEAR(contact.value, 90.0, agreed);
        EXPECT_NEAR(contact.standard_uncertainty, std::sqrt(1.5 * one + rounding) / 5.0, agreed);
        const auto isolation = unit.check("isolation", 0);
        EXPECT_NEAR(isolation.value, 3.0, agreed);
        EXPECT_NEAR(isolation.standard_uncertainty, std::sqrt(6.0 * one + rounding) / 5.0, agreed);
    }
}

// The states of a step as judging takes them, with their scatter.
struct Taken {
    std::vector<StateMean> states;
    Scatter scatter;
    Taken(const HandMade& unit, const std::string& step)
        : states(states_of(unit.seen, step, record::Reading::raw,
                           unit.seen.readings.at(0).scans.at(0).counts.size())),
          scatter(scatter_of(states)) {
        EXPECT_GT(states[0].memory_standard, 0.0) << "first scans remember";
    }
    [[nodiscard]] double variance(std::size_t state, std::size_t i) const {
        return scatter.of_mean(states[state], state, i) + scatter.rounding[i];
    }
};

// Counts of one state die away by halves from so many above, on some series.
void remember(HandMade& unit, std::size_t state, double from, std::size_t first_series = 0) {
    auto& scans = unit.seen.readings.at(state).scans;
    for (std::size_t k = 0; k < scans.size(); ++k)
        for (std::size_t i = first_series; i < scans[k].counts.size(); ++i)
            scans[k].counts[i] += static_cast<int>(std::lround(from / std::pow(2.0, double(k))));
}

// A memory that is taken out wrongly moves both states of a contact.
TEST(ContactByValue, HoldsTheDoubtOfTheFiltersMemory) {
    constexpr std::uint16_t channels = 6;
    HandMade unit(channels, 1);
    unit.step("contacts", language::ContactStep{
                              .reference = "R2", .contact = {Percent(1.0), {}}, .isolation = {}});
    for (std::uint16_t c = 0; c < channels; ++c) unit.reference("R2", 1.25, c);
    unit.state("contacts", "", {{2000}, {2}});
    for (std::uint16_t c = 0; c < channels; ++c)
        unit.state("contacts", "R2", {{2450}, {2}}).channels = {c};
    unit.state("contacts", "", {{2000}, {2}});
    remember(unit, 1, -450.0);
    remember(unit, channels + 1U, 450.0);
    const Taken taken(unit, "contacts");
    const std::size_t last = channels + 1U;
    const auto moved = [&](std::size_t state) { return taken.states[state].by_memory(0); };
    const double memory = moved(1) - 0.5 * (moved(0) + moved(last));
    const double variance = taken.scatter.of_mean(taken.states[1], 1, 0) +
                            0.25 * (taken.scatter.of_mean(taken.states[0], 0, 0) +
                                    taken.scatter.of_mean(taken.states[last], last, 0)) +
                            2.0 * taken.scatter.rounding[0];
    EXPECT_NEAR(unit.check("contact", 0).standard_uncertainty,
                std::sqrt(variance + memory * memory) / 5.0, agreed);
    EXPECT_GT(memory * memory, 0.1 * variance) << "enough to matter";
}

// What the memory does to one frequency and not to the others shows as a departure.
TEST(FrequencyByValue, DepartureHoldsTheDoubtOfTheFiltersMemory) {
    HandMade unit(4, 3);
    unit.step("frequencies",
              language::FrequencyStep{.reference = "R2", .departure = {{}, Percent(90.0)}});
    for (std::uint16_t c = 0; c < 4; ++c) unit.reference("R2", 1.0, c);
    for (const char* reference : {"", "R2", ""})
        unit.state("frequencies", reference, {{reference[0] == 0 ? 2000 : 2400}, {2}});
    remember(unit, 1, -400.0, 1);
    remember(unit, 2, 400.0, 1);
    const Taken taken(unit, "frequencies");
    const auto change = [&](std::size_t i, auto&& of) {
        return of(1, i) - 0.5 * (of(0, i) + of(2, i));
    };
    const auto counts = [&](std::size_t i) {
        return change(i, [&](int s, std::size_t k) { return taken.states[s].series[k].mean; });
    };
    const auto memory = [&](std::size_t i) {
        return change(i, [&](int s, std::size_t k) { return taken.states[s].by_memory(k); });
    };
    const auto variance = [&](std::size_t i) {
        return taken.variance(1, i) + 0.25 * (taken.variance(0, i) + taken.variance(2, i));
    };
    const double others = 0.5 * (counts(1) + counts(2)), ratio = counts(0) / others;
    const double by_memory = (memory(0) - ratio * 0.5 * (memory(1) + memory(2))) / others;
    const double scattered = variance(0) / (others * others) +
                             ratio * ratio * 0.25 * (variance(1) + variance(2)) / (others * others);
    EXPECT_NEAR(unit.check("frequency departure", 0, 0).standard_uncertainty,
                100.0 * std::sqrt(scattered + by_memory * by_memory), agreed);
    EXPECT_GT(by_memory * by_memory, 0.02 * scattered) << "enough to matter";
}

}  // namespace
}  // namespace padtrim::metrology
