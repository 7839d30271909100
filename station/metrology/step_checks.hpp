// One function a step of the recipe: from its observations to its checks.
//
// Internal to the room. Each adds its checks to the findings, and a gap with a sentence where the
// observations do not allow one. None throws for odd observations.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/metrology/channel_line.hpp"
#include "station/metrology/findings.hpp"
#include "station/metrology/parts.hpp"

namespace padtrim::metrology {

void check_step(const Case& unit, const std::string& step, const language::IdentifyStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::ContactStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::GainOffsetStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::NoiseStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::TouchStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::WriteTrimsStep& body,
                Findings& findings);
// Of a step that was due and did not write: fails when the registers cannot hold what they should.
void check_trims_reach(const Case& unit, const std::string& step, Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::PowerCycleStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::VerifyStep& body,
                Findings& findings);

void check_step(const Case& unit, const std::string& step, const language::WaitStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::AskStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::WarmUpStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::LinkStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::CrosstalkStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::FrequencyStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::NonLinearityStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::StuckKeyStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::ApproachStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::ResponseStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::SlowApproachStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::ProximityStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::SweepStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::HoverStep& body,
                Findings& findings);
void check_step(const Case& unit, const std::string& step, const language::WetPanelStep& body,
                Findings& findings);

// The fitted lines of a gain and offset step; a missing one leaves its reason in `problem`.
struct FittedChannel {
    int channel = 0, frequency = 0;
    std::optional<LineFit> line;
    LineProblem problem;
};
[[nodiscard]] std::vector<FittedChannel> fitted_channels(const Case& unit, const std::string& step);

// The touch response of each key's most responsive channel, counts.
struct KeyResponse {
    std::string key;
    int channel = -1;
    Measured response;
};
[[nodiscard]] std::vector<KeyResponse> key_responses(const Case& unit, const std::string& step,
                                                     std::size_t frequency);

// The budgets of a verification's errors and of a touch's responses, term by term, as they are
// judged.
[[nodiscard]] std::vector<CheckBudget> verify_budgets(const Case& unit, const std::string& step,
                                                      const language::VerifyStep& body);
[[nodiscard]] std::vector<CheckBudget> touch_budgets(const Case& unit, const std::string& step);

// The product's own touch reports of a step: each key alone while it is touched, none when lifted.
void check_touch_reports(const Case& unit, const std::string& step, record::Stage stage,
                         const std::vector<std::string>& keys, Findings& findings);

}  // namespace padtrim::metrology
