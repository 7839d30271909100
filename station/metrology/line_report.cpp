#include "station/metrology/line_report.hpp"

#include <cmath>
#include <cstdio>

#include "station/metrology/line_readings.hpp"

namespace padtrim::metrology {

namespace {

Budget budget_of(const char* quantity, const char* unit, double value, const LineFit& fit,
                 double PairCovariance::*part) {
    Budget budget{quantity, unit, value, {}, {}};
    for (std::size_t i = 0; i < line_terms; ++i) {
        const auto term = static_cast<LineTerm>(i);
        BudgetTerm entry;
        entry.name = name_of(term);
        entry.standard = std::sqrt(fit.terms[i].*part);
        if (term == LineTerm::scatter) {
            entry.evaluation = Evaluation::type_a;
            entry.degrees = fit.scatter_degrees;
        }
        budget.terms.push_back(std::move(entry));
    }
    if (fit.excess > 1.0) {
        budget.terms.push_back({"lack of fit (Birge)", std::sqrt(fit.lack.*part), 1.0,
                                fit.lack_degrees, Evaluation::type_a});
    }
    return budget;
}

const language::Step* fitting_step(const language::Recipe& recipe) {
    for (const language::Step& step : recipe.steps) {
        if (std::holds_alternative<language::GainOffsetStep>(step.body)) return &step;
    }
    return nullptr;
}

std::string trials_text(const char* quantity, const MonteCarloResult& result) {
    char line[160];
    std::snprintf(line, sizeof line,
                  "  %s by Monte Carlo: standard %.4g, 95 %% from %.6g to %.6g (%zu trials)\n",
                  quantity, result.standard, result.low, result.high, result.trials);
    return line;
}

}  // namespace

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
    report.gain = budget_of("gain", "counts/pF", fit->gain, *fit, &PairCovariance::gain);
    report.offset = budget_of("offset", "counts", fit->offset, *fit, &PairCovariance::offset);
    const auto& c = fit->covariance;
    report.correlation = c.both / std::sqrt(c.gain * c.offset);
    report.excess = fit->excess;
    report.chi_squared = fit->chi_squared;
    report.fit_degrees = fit->fit_degrees;
    if (trials == 0) return report;
    const auto drawn = line_trials(readings.input(), trials, seed);
    if (!drawn) return TrimProblem{number, std::string(statistics::text_of(drawn.error())) + "."};
    report.trials = *drawn;
    return report;
}

std::string text_of(const LineReport& report) {
    std::string text = budget_text(report.gain) + budget_text(report.offset);
    char line[200];
    std::snprintf(line, sizeof line, "  correlation of gain and offset %.3f\n", report.correlation);
    text += line;
    if (report.excess > 1.0) {
        std::snprintf(line, sizeof line,
                      "  the states disagree by more than their errors allow (chi-squared %.4g, %g "
                      "degrees): all variances are multiplied by %.4g\n",
                      report.chi_squared, report.fit_degrees, report.excess);
        text += line;
    }
    if (report.trials) {
        text += trials_text("gain", report.trials->gain);
        text += trials_text("offset", report.trials->offset);
    }
    return text;
}

}  // namespace padtrim::metrology
