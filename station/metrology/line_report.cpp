#include "station/metrology/line_report.hpp"

#include <cmath>
#include <cstdarg>
#include <cstdio>
#include <iterator>

#include "db/statistics/distributions.hpp"
#include "station/metrology/line_readings.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

std::string text(const char* format, ...) {
    char line[240];
    std::va_list values;
    va_start(values, format);
    std::vsnprintf(line, sizeof line, format, values);
    va_end(values);
    return line;
}

// What a budget says of where its inputs are from.
class Sources {
  public:
    Sources(const Case& unit, const language::EquipmentRecord& record, std::uint16_t channel)
        : unit_(unit), record_(record), channel_(channel) {}

    // Fills in name, value, unit, distribution and source of one input.
    void describe(BudgetTerm& term, const LineSensitivity& input, const LineReadings& readings) {
        term.name = name_of(input.term);
        switch (input.term) {
            case LineTerm::scatter:
                term.evaluation = Evaluation::type_a;
                term.shape = InputShape::student;
                term.degrees = readings.scatter_degrees;
                term.unit = "counts";
                return;
            case LineTerm::rounding:
                term.shape = InputShape::rectangular;
                term.unit = "counts";
                return;
            case LineTerm::references:
                describe_reference(term, input);
                return;
            case LineTerm::meter:
                term.unit = "1";
                term.source = certificate();
                return;
            case LineTerm::temperature:
                describe_temperature(term, readings.temperature);
                return;
            case LineTerm::definition:
                term.unit = "1";
                term.source = "stated by the profile: definition_relative";
                return;
            case LineTerm::fixture:
                describe_part(term, readings.part);
                return;
            case LineTerm::memory:
                term.evaluation = Evaluation::type_a;
                term.unit = "counts";
                return;
            case LineTerm::flexing:
                term.unit = "pF";
                term.shape = InputShape::rectangular;
                term.source = text("stated by the profile: +-%.4g pF", record_.flexing.value());
                return;
        }
    }

  private:
    [[nodiscard]] std::string certificate() const {
        return record_.certificate + " of " + record_.characterised_on;
    }
    void describe_reference(BudgetTerm& term, const LineSensitivity& input) const {
        term.unit = "pF";
        for (const language::CharacterisedStep& step : record_.steps) {
            if (unit_.tips().step(channel_, step.reference) != input.step) continue;
            if (step.channel != channel_ || step.nest != unit_.observations().nest) continue;
            term.name = step.reference + "'s own error";
            term.value = input.step->value;
            term.source =
                certificate() +
                text(": U = %.4g pF, k = %.3g, of it common to all: %.4g pF standard",
                     step.expanded_uncertainty.value(), step.coverage_factor, input.step->common);
        }
    }
    void describe_part(BudgetTerm& term, const TipPart& part) const {
        term.unit = "pF";
        term.value = part.value;
        const auto* known = record_.fixture_part(unit_.observations().nest, channel_);
        if (!known) return;
        term.source =
            certificate() + text(": U = %.4g pF, k = %.3g", known->expanded_uncertainty.value(),
                                 known->coverage_factor);
    }
    void describe_temperature(BudgetTerm& term, const TemperatureDoubt& t) const {
        term.unit = "1";
        term.shape = t.read ? InputShape::normal : InputShape::rectangular;
        const double at = record_.temperature.value();
        term.source = t.read ? text("read: %.4g degC, u = %.3g K, characterised at %.4g degC",
                                    at + t.above, t.standard, at)
                             : text("not read: within 5 K of %.4g degC", at);
        term.source += text("; coefficient %.4g +- %.4g ppm/K", 1e6 * t.coefficient,
                            record_.temperature_coefficient_half_width.value());
    }
    const Case& unit_;
    const language::EquipmentRecord& record_;
    std::uint16_t channel_;
};

void add_terms(LineReport& report, const std::vector<LineSensitivity>& inputs,
               const LineReadings& readings, Sources sources) {
    for (const LineSensitivity& input : inputs) {
        if (!(input.standard > 0.0)) continue;
        BudgetTerm term;
        term.standard = input.standard;
        sources.describe(term, input, readings);
        term.sensitivity = input.gain;
        report.gain.terms.push_back(term);
        term.sensitivity = input.offset;
        report.offset.terms.push_back(std::move(term));
    }
}

void add_lack(Budget& budget, const LineFit& fit, double PairCovariance::*part) {
    if (fit.excess <= 1.0) return;
    budget.terms.push_back({"lack of fit (Birge)", std::sqrt(fit.lack.*part), 1.0, fit.lack_degrees,
                            Evaluation::type_a, InputShape::student});
}

const language::Step* fitting_step(const language::Recipe& recipe) {
    for (const language::Step& step : recipe.steps) {
        if (std::holds_alternative<language::GainOffsetStep>(step.body)) return &step;
    }
    return nullptr;
}

std::string trials_text(const Budget& budget, const MonteCarloResult& result) {
    std::string line =
        text("  %s by Monte Carlo: standard %.4g, 95 %% from %.6g to %.6g (%zu trials)\n",
             budget.quantity.c_str(), result.standard, result.low, result.high, result.trials);
    const auto check = check_of(budget, result);
    if (!check) return line;
    line += text("    its ends are %.3g and %.3g off those stated, %.3g allowed, chance %.2g: ",
                 check->low_off, check->high_off, check->delta, check->doubt);
    switch (check->agreement) {
        case Agreement::agrees:
            return line + "the stated interval agrees (JCGM 101 clause 8)\n";
        case Agreement::differs:
            return line + "it does not agree; take this one (JCGM 101 clause 8)\n";
        case Agreement::too_few_trials:
            break;
    }
    return line + "more trials are needed to tell (JCGM 101 clause 8)\n";
}

}  // namespace

statistics::Checked<GumCheck> check_of(const Budget& budget, const MonteCarloResult& trials) {
    const auto stated = combine(budget);
    if (!stated) return stated.error();
    return compare(budget.value, *stated, trials);
}

Trimmed<LineReport> line_report(const language::Plan& plan,
                                const language::EquipmentRecord& references,
                                const record::Observations& observations, std::size_t channel,
                                std::size_t frequency, std::size_t trials, std::uint64_t seed) {
    const Case unit(plan, references, observations);
    const language::Step* step = fitting_step(plan.recipe);
    const int number = static_cast<int>(channel);
    if (!step) return TrimProblem{-1, "The recipe has no step that measures gain and offset."};
    if (channel >= unit.channels() || frequency >= unit.frequencies()) {
        return TrimProblem{number, "The product has no such channel or frequency."};
    }
    const auto states = states_of(observations, step->name, record::Reading::raw, unit.series());
    const Scatter scatter = scatter_of(states);
    LineReadings readings = line_readings(unit, states, scatter, channel, frequency);
    std::optional<LineFit> fit;
    if (readings.problem.what.empty()) fit = fit_line(readings.input(), readings.problem);
    if (!fit) {
        return TrimProblem{number, "No line was fitted for " + unit.place_of(channel) + ": " +
                                       readings.problem.what + "."};
    }
    LineReport report;
    report.channel = number;
    report.frequency = static_cast<int>(frequency);
    report.key = unit.key_of(channel);
    report.gain = {"gain", "counts/pF", fit->gain, {}, {}};
    report.offset = {"offset", "counts", fit->offset, {}, {}};
    add_terms(report, sensitivities_of(readings.input()), readings,
              Sources(unit, references, static_cast<std::uint16_t>(channel)));
    add_lack(report.gain, *fit, &PairCovariance::gain);
    add_lack(report.offset, *fit, &PairCovariance::offset);
    const auto& c = fit->covariance;
    report.correlation = c.both / std::sqrt(c.gain * c.offset);
    report.excess = fit->excess;
    report.chi_squared = fit->chi_squared;
    report.fit_degrees = fit->fit_degrees;
    const auto below = statistics::chi_squared_probability(fit->chi_squared, fit->fit_degrees);
    if (below) report.significance = 1.0 - *below;
    report.definition_stated = references.definition_relative > 0.0;
    if (trials == 0) return report;
    const auto drawn = line_trials(readings.input(), trials, seed);
    if (!drawn) return TrimProblem{number, std::string(statistics::text_of(drawn.error())) + "."};
    report.trials = *drawn;
    return report;
}

std::string text_of(const LineReport& report) {
    std::string all = budget_text(report.gain) + budget_text(report.offset);
    all += text("  correlation of gain and offset %.3f\n", report.correlation);
    if (!report.definition_stated) {
        all += "  what a guarded meter leaves out: the profile states none (definition_relative)\n";
    }
    if (report.fit_degrees > 0.0) {
        all += text("  lack of fit: chi-squared %.4g, %g degrees, significance %.3f\n",
                    report.chi_squared, report.fit_degrees, report.significance);
    }
    if (report.excess > 1.0) {
        all += text(
            "  the states disagree by more than their errors allow (chi-squared %.4g, %g "
            "degrees): all variances are multiplied by %.4g\n",
            report.chi_squared, report.fit_degrees, report.excess);
    }
    if (report.trials) {
        all += trials_text(report.gain, report.trials->gain);
        all += trials_text(report.offset, report.trials->offset);
    }
    return all;
}

std::vector<CheckBudget> check_budgets(const language::Plan& plan,
                                       const language::EquipmentRecord& references,
                                       const record::Observations& observations) {
    const Case unit(plan, references, observations);
    std::vector<CheckBudget> all;
    for (const language::Step& step : plan.recipe.steps) {
        if (!unit.done(step.name)) continue;
        std::vector<CheckBudget> some;
        if (const auto* verify = std::get_if<language::VerifyStep>(&step.body))
            some = verify_budgets(unit, step.name, *verify);
        if (std::holds_alternative<language::TouchStep>(step.body))
            some = touch_budgets(unit, step.name);
        std::move(some.begin(), some.end(), std::back_inserter(all));
    }
    return all;
}

}  // namespace padtrim::metrology
