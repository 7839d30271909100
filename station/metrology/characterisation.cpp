#include "station/metrology/characterisation.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "db/statistics/distributions.hpp"

namespace padtrim::metrology {

using language::CharacterisedStep;
using language::EquipmentRecord;
using language::FixturePart;
using language::FixtureProfile;
using statistics::Checked;
using statistics::Flaw;

namespace {

constexpr const char* no_uncertainty =
    "its uncertainty cannot be stated. Make more repeats, and state the meter's half_width.";

struct Series {
    double mean = 0.0, of_mean = 0.0;  // of_mean: standard uncertainty of the mean
    double degrees = 0.0;
};

Series series_of(const std::vector<double>& values) {
    Series series;
    const auto n = static_cast<double>(values.size());
    for (const double value : values) series.mean += value / n;
    double squares = 0.0;
    for (const double value : values) squares += (value - series.mean) * (value - series.mean);
    series.degrees = n - 1.0;
    series.of_mean = std::sqrt(squares / (n - 1.0) / n);
    return series;
}

std::string place_of(const TipReadings& tip) {
    return "nest " + std::to_string(tip.nest) + ", channel " + std::to_string(tip.channel);
}

// What one tip's readings say, as capacitances.
struct Capacitances {
    std::vector<double> steps, open;
};

Checked<double> corrected(const TipReadings& tip, Impedance read, Kilohertz frequency) {
    const auto z = open_short_corrected(read, tip.open, tip.shorted);
    if (!z) return z.error();
    const auto value = parallel_capacitance(*z, frequency);
    if (!value) return value.error();
    return (*value).value();
}

Checked<Capacitances> capacitances_of(const TipReadings& tip, const ReferenceReadings& reference,
                                      Kilohertz frequency) {
    Capacitances all;
    for (const StepReading& reading : reference.repeats) {
        const auto before = corrected(tip, reading.before, frequency);
        const auto closed = corrected(tip, reading.closed, frequency);
        const auto after = corrected(tip, reading.after, frequency);
        if (!before) return before.error();
        if (!closed) return closed.error();
        if (!after) return after.error();
        const double open = (*before + *after) / 2.0;
        all.steps.push_back(*closed - open);
        all.open.push_back(open);
    }
    return all;
}

// In expanded uncertainties at 95 %.
double largest_by_chance(std::size_t tips) {
    if (tips == 0) return 1.0;
    const auto one = statistics::normal_quantile(0.975);
    const auto all = statistics::normal_quantile(1.0 - 0.025 / static_cast<double>(tips));
    return *all / *one;
}

Budget budget_of(const Series& series, const language::TipMeter& meter, double definition) {
    Budget budget{"step", "pF", series.mean, {}, {}};
    const double value = std::abs(series.mean);
    const double one = rectangular(meter.half_width.value());
    budget.terms.push_back(
        {"scatter of the repeats", series.of_mean, 1.0, series.degrees, Evaluation::type_a});
    // On either side of the difference.
    budget.terms.push_back({"meter: resolution and residuals", one * std::numbers::sqrt2});
    budget.terms.push_back({"meter: common to all steps", meter.common_relative, value});
    if (definition > 0.0)
        budget.terms.push_back({"definition: strays beside the guard", definition, value});
    return budget;
}

}  // namespace

Checked<Picofarad> parallel_capacitance(Impedance z, Kilohertz frequency) {
    const double hertz = frequency.value() * 1e3;
    if (!std::isfinite(z.real()) || !std::isfinite(z.imag()) || !std::isfinite(hertz))
        return Flaw::not_finite;
    if (!(hertz > 0.0) || std::abs(z) == 0.0) return Flaw::not_positive;
    const double value = 1e12 * (1.0 / z).imag() / (2.0 * std::numbers::pi * hertz);
    if (!std::isfinite(value)) return Flaw::not_finite;
    return Picofarad(value);
}

Characterised characterise(const FixtureProfile& profile, const std::vector<TipReadings>& tips) {
    Characterised out;
    const EquipmentRecord& record = profile.equipment;
    const auto fail = [&](const TipReadings& tip, const std::string& what) {
        out.problem = "Nothing can be said of " + place_of(tip) + ": " + what;
        return out;
    };
    for (const TipReadings& tip : tips) {
        std::vector<double> open;
        for (const ReferenceReadings& reference : tip.references) {
            const CharacterisedStep* known =
                record.step(tip.nest, tip.channel, reference.reference);
            if (known == nullptr)
                return fail(tip, "the profile has no " + reference.reference + " there.");
            if (reference.repeats.size() < 2)
                return fail(tip, "a spread needs two readings or more.");
            const auto read = capacitances_of(tip, reference, record.frequency);
            if (!read)
                return fail(tip,
                            "its readings make no capacitance. Check the adapter's open and "
                            "short standards and the meter's setup.");
            const Series series = series_of((*read).steps);
            if (!(series.mean > 0.0))
                return fail(tip, reference.reference +
                                     " adds nothing there. Check the pin, the relay and the "
                                     "adapter's contact.");
            open.insert(open.end(), (*read).open.begin(), (*read).open.end());
            StepFinding finding;
            finding.step = *known;
            finding.budget = budget_of(series, *profile.meter, record.definition_relative);
            const auto whole = combine(finding.budget);
            const auto kept = combine(budget_of(series, *profile.meter, 0.0));
            if (!whole || !kept || !((*kept).standard > 0.0)) return fail(tip, no_uncertainty);
            finding.whole = *whole;
            finding.step.value = Picofarad(series.mean);
            finding.step.common_relative = profile.meter->common_relative;
            // The record's factor with the probability of the budget's: never less than found.
            finding.step.expanded_uncertainty = Picofarad(
                (*kept).standard * std::max(known->coverage_factor, (*kept).coverage_factor));
            out.found.steps.push_back(std::move(finding));
        }
        const FixturePart* part = record.fixture_part(tip.nest, tip.channel);
        if (part == nullptr || open.size() < 2) continue;
        if (tip.retracted.size() < 2) return fail(tip, "a spread needs two readings or more.");
        std::vector<double> retracted;
        for (const Impedance& read : tip.retracted) {
            const auto value = corrected(tip, read, record.frequency);
            if (!value) return fail(tip, "its readings with the pins off make no capacitance.");
            retracted.push_back(*value);
        }
        const Series connected = series_of(open), off = series_of(retracted);
        Series own{connected.mean - off.mean, std::hypot(connected.of_mean, off.of_mean),
                   std::min(connected.degrees, off.degrees)};
        if (!(own.mean > 0.0))
            return fail(tip, "pressing the pins adds nothing. Check the pin and the adapter.");
        const auto kept = combine(budget_of(own, *profile.meter, 0.0));
        if (!kept || !((*kept).standard > 0.0)) return fail(tip, no_uncertainty);
        FixturePart found = *part;
        found.value = Picofarad(own.mean);
        found.expanded_uncertainty =
            Picofarad((*kept).standard * std::max(part->coverage_factor, (*kept).coverage_factor));
        out.found.parts.push_back(found);
    }
    return out;
}

std::vector<StepChange> changes_since(const EquipmentRecord& before, const Characterisation& now) {
    std::vector<StepChange> changes;
    const auto add = [&](const auto& was, const auto& is, std::string reference) {
        StepChange change{is.nest, is.channel, std::move(reference)};
        change.before = was.value.value();
        change.now = is.value.value();
        change.expanded_before = was.expanded_uncertainty.value();
        change.expanded_now = is.expanded_uncertainty.value();
        const double expanded = std::hypot(change.expanded_before, change.expanded_now);
        change.doubts = expanded > 0.0 ? std::abs(change.now - change.before) / expanded : 0.0;
        changes.push_back(std::move(change));
    };
    for (const StepFinding& each : now.steps)
        if (const auto* was = before.step(each.step.nest, each.step.channel, each.step.reference))
            add(*was, each.step, each.step.reference);
    for (const FixturePart& each : now.parts)
        if (const auto* was = before.fixture_part(each.nest, each.channel)) add(*was, each, "");
    const double limit = largest_by_chance(changes.size());
    for (StepChange& change : changes) change.changed = change.doubts > limit;
    return changes;
}

EquipmentRecord renewed(EquipmentRecord record, const Characterisation& found) {
    for (const StepFinding& each : found.steps)
        for (CharacterisedStep& step : record.steps)
            if (step.nest == each.step.nest && step.channel == each.step.channel &&
                step.reference == each.step.reference)
                step = each.step;
    for (const FixturePart& each : found.parts)
        for (FixturePart& part : record.fixture_parts)
            if (part.nest == each.nest && part.channel == each.channel) part = each;
    return record;
}

}  // namespace padtrim::metrology
