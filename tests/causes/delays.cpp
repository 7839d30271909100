// How soon charts signal what was injected, beside their theoretical run lengths.
//
// Check standards: the station's own shift checks. Given the limits that a station has learnt, each
// check signals with a known probability: the values' true means and scatter follow from the
// bench's physics. So each station has a run length of its own, and the measured delay is compared
// with the mean of them. Product: charts of units with a known centre and sigma, begun with the
// change.
#include <cmath>

#include "db/quality/memory_charts.hpp"
#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"
#include "tests/causes/station_checks.hpp"
#include "tests/causes/trials.hpp"

namespace padtrim::causes {

namespace {

constexpr double units_a_check = 200.0;
constexpr std::uint64_t delay_seed = 7'000'000;

struct Tally {
    statistics::Moments measured, theory, difference;
    void add(double delay, double expected) {
        measured.add(delay);
        theory.add(expected);
        difference.add(delay - expected);
    }
};

double error_of_mean(const statistics::Moments& moments) {
    return *moments.standard_deviation() / std::sqrt(static_cast<double>(moments.count()));
}

double LineAndTouch::*value_named(const std::string& check) {
    return check == "gain" ? &LineAndTouch::gain : &LineAndTouch::offset;
}

std::size_t which_of(const record::ChartPoint& point) {
    return static_cast<std::size_t>(point.place.serial.at(1) - '1');
}

// Of one check, that any value is beyond its limits: all are independent, being of one check each.
double signal_probability(const record::ShiftCheck& check, const Production& line,
                          Production& quiet, const std::string& charted) {
    const auto value = value_named(charted);
    double none = 1.0;
    for (const auto& point : check.points) {
        const auto which = which_of(point);
        const auto channel = static_cast<std::size_t>(point.place.channel);
        const double mean = quiet.standard(which, point.place.nest)[channel].*value;
        const double sigma = line.deviation(which, point.place.nest, channel).*value;
        none *= statistics::normal_probability((*point.high - mean) / sigma) -
                statistics::normal_probability((*point.low - mean) / sigma);
    }
    return 1.0 - none;
}

// What is wrong at each check, from the first after the baseline on.
struct Course {
    void (*at)(Wrong& wrong, int check);
    bool grows = false;
};

// Mean checks until one signals, with the limits that these points have.
double run_length_of(const record::ShiftCheck& first, const Production& line, Production& quiet,
                     const std::string& charted, const Course& course) {
    double expected = 0.0, still = 1.0;
    for (int i = 1; still > 1e-9; ++i) {
        course.at(quiet.wrong, i);
        const double signals = signal_probability(first, line, quiet, charted);
        if (!course.grows) return 1.0 / signals;
        expected += still;
        still *= 1.0 - signals;
    }
    return expected;
}

void watch_station(const language::PlanPtr& plan, std::uint64_t seed, const std::string& charted,
                   const Course& course, Tally& tally) {
    Production line(plan, seed), quiet(plan, seed, 0.0);
    StationChecks checks(line, {charted});
    checks.learn();
    record::ShiftCheck first;
    int delay = 0;
    for (bool signals = false; !signals;) {
        course.at(line.wrong, ++delay);
        auto check = checks.next();
        signals = check.decision == record::CheckDecision::blocked;
        if (delay == 1) first = std::move(check);
    }
    tally.add(units_a_check * delay,
              units_a_check * run_length_of(first, line, quiet, charted, course));
}

Delay station_delay(const char* cause, const std::string& charted, const Course& course,
                    int histories) {
    Tally tally;
    const auto plan = plan_of_line();
    for (int i = 0; i < histories; ++i)
        watch_station(plan, delay_seed + static_cast<unsigned>(i), charted, course, tally);
    Delay delay{cause, "check standards, " + charted};
    delay.measured = *tally.measured.mean();
    delay.theory = *tally.theory.mean();
    delay.doubt = error_of_mean(tally.difference);
    delay.histories = histories;
    return delay;
}

struct OnProduct {
    double LineAndTouch::*value;
    Wrong wrong;
    statistics::Moments before, after;
    // What changes the mean changes the scatter too: run lengths are in sigmas of after.
    [[nodiscard]] double sigma(double sigmas_of_before) const {
        return sigmas_of_before * *before.standard_deviation() / *after.standard_deviation();
    }
    [[nodiscard]] double shift() const {
        return (*after.mean() - *before.mean()) / *after.standard_deviation();
    }
};

// What the change is to the product, in sigmas of its own.
void measure_shift(OnProduct& on) {
    for (const bool changed : {false, true}) {
        Production line(plan_of_line(), delay_seed);
        if (changed) line.wrong = on.wrong;
        for (int i = 0; i < 20'000; ++i)
            (changed ? on.after : on.before).add(line.unit(1)[0].*on.value);
    }
}

// The same line, whose mean and sigma are those measured; each chart on units of its own.
template <class Signals>
Delay product_delay(std::string cause, std::string chart, const OnProduct& on, double theory,
                    int histories, Signals make) {
    Production line(plan_of_line(), delay_seed);
    line.wrong = on.wrong;
    line.begin_at(40'001);  // not those that told the shift
    statistics::Moments delays;
    for (int i = 0; i < histories; ++i) {
        auto signals = make();
        int units = 1;
        while (!signals(line.unit(1)[0].*on.value)) ++units;
        delays.add(units);
    }
    Delay delay{std::move(cause), std::move(chart)};
    delay.measured = *delays.mean();
    delay.theory = theory;
    delay.doubt = error_of_mean(delays);
    delay.histories = histories;
    return delay;
}

void add_product(std::vector<Delay>& list, const char* cause, const char* what, OnProduct on,
                 int histories) {
    measure_shift(on);
    const quality::InControl process{*on.before.mean(), *on.before.standard_deviation()};
    const statistics::CusumPlan sums;
    list.push_back(product_delay(
        cause, std::string("units, sums of ") + what, on,
        *statistics::cusum_run_length({on.sigma(sums.k), on.sigma(sums.h)}, on.shift()), histories,
        [&] {
            return [chart = *quality::CusumChart::of(process, sums)](double value) mutable {
                return chart.add(value)->alarm();
            };
        }));
    list.push_back(
        product_delay(cause, std::string("units, 3 sigma limits of ") + what, on,
                      *statistics::shewhart_run_length(on.sigma(3.0), on.shift()), histories, [&] {
                          return [process](double value) {
                              return std::abs(value - process.centre) > 3.0 * process.sigma;
                          };
                      }));
}

}  // namespace

bool Delay::agrees() const {
    return std::abs(measured - theory) <= 3.3 * doubt;
}

std::vector<Delay> delays(int histories) {
    const Course step_changed{[](Wrong& wrong, int) { wrong.step = 0.003; }};
    const Course stray_came{[](Wrong& wrong, int) { wrong.stray = 0.05; }};
    const Course standard_ages{[](Wrong& wrong, int check) { wrong.standard = 0.001 * check; },
                               true};
    std::vector<Delay> list;
    list.push_back(station_delay("step", "gain", step_changed, histories));
    list.push_back(station_delay("stray", "offset", stray_came, histories));
    list.push_back(station_delay("standard", "gain", standard_ages, histories));
    OnProduct step{&LineAndTouch::gain, {}, {}, {}};
    step.wrong.step = 0.003;
    add_product(list, "step", "gain", step, histories);
    OnProduct stray{&LineAndTouch::offset, {}, {}, {}};
    stray.wrong.stray = 0.05;
    add_product(list, "stray", "offset", stray, histories);
    OnProduct glue{&LineAndTouch::touch, {}, {}, {}};
    glue.wrong.glue = 0.1;
    add_product(list, "product", "touch response", glue, 4 * histories);
    return list;
}

}  // namespace padtrim::causes
