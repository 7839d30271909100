// One line in full: the budgets of its gain and offset term by term, and their check by Monte
// Carlo.
//
// Pure; from the same readings and the same fit as the verdict.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <boost/system/result.hpp>

#include "station/metrology/budget.hpp"
#include "station/metrology/judge.hpp"
#include "station/metrology/monte_carlo.hpp"
#include "station/metrology/parts.hpp"

namespace padtrim::metrology {

struct LineReport {
    int channel = 0, frequency = 0;
    std::string key;
    Budget gain, offset;
    double correlation = 0.0;  // of gain and offset
    // States that disagree by more than their errors allow: a term of its own in both budgets.
    double excess = 1.0, chi_squared = 0.0, fit_degrees = 0.0;
    double significance = 1.0;       // probability of so large a chi-squared when the line is right
    bool definition_stated = false;  // by the profile, as definition_relative
    std::optional<LineTrials> trials;  // JCGM 101, when asked for
};

// trials: 0 for none, else 1000 or more. The problem says why there is no line.
[[nodiscard]] Trimmed<LineReport> line_report(const language::Plan& plan,
                                              const language::EquipmentRecord& references,
                                              const record::Observations& observations,
                                              std::size_t channel, std::size_t frequency,
                                              std::size_t trials = 0, std::uint64_t seed = 1);

// JCGM 101 clause 8: whether the budget's interval holds against the trials.
[[nodiscard]] statistics::Checked<GumCheck> check_of(const Budget& budget,
                                                     const MonteCarloResult& trials);

// Both budgets as tables in characters, the Monte Carlo interval beside the stated one. Where they
// belong is for the caller to say.
[[nodiscard]] std::string text_of(const LineReport& report);

// The budgets of the other checks whose uncertainty has several terms: gain and offset error of a
// verification, touch responses; of the steps that ran, in the recipe's order.
[[nodiscard]] std::vector<CheckBudget> check_budgets(const language::Plan& plan,
                                                     const language::EquipmentRecord& references,
                                                     const record::Observations& observations);

}  // namespace padtrim::metrology
