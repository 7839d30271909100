#include "db/quality/sampling.hpp"

#include <algorithm>
#include <cmath>

#include "db/quality/capability_indices.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

constexpr std::size_t lots_looked_back = 5;
constexpr unsigned accepted_to_relax = 5, refused_to_stop = 5, score_to_reduce = 30;

}  // namespace

void Switching::enter(Severity severity) {
    severity_ = severity;
    score_ = in_row_ = refused_ = 0;
    last_lots_.clear();
}

void Switching::resume() {
    if (severity_ == Severity::stopped) enter(Severity::tightened);
}

void Switching::under_normal(const LotResult& lot) {
    last_lots_.push_back(lot.accepted);
    if (last_lots_.size() > lots_looked_back) last_lots_.erase(last_lots_.begin());
    if (std::count(last_lots_.begin(), last_lots_.end(), false) >= 2)
        return enter(Severity::tightened);
    const bool many = lot.acceptance_number >= 2;
    if (!lot.accepted || (many && !lot.accepted_one_step_tighter))
        score_ = 0;
    else
        score_ += many ? 3 : 2;
    if (score_ >= score_to_reduce && lot.steady && lot.reduced_allowed) enter(Severity::reduced);
}

void Switching::under_tightened(const LotResult& lot) {
    in_row_ = lot.accepted ? in_row_ + 1 : 0;
    if (!lot.accepted) ++refused_;
    if (refused_ >= refused_to_stop) return enter(Severity::stopped);
    if (in_row_ >= accepted_to_relax) enter(Severity::normal);
}

Severity Switching::after(const LotResult& lot) {
    switch (severity_) {
        case Severity::normal:
            under_normal(lot);
            break;
        case Severity::tightened:
            under_tightened(lot);
            break;
        case Severity::reduced:
            if (!lot.accepted || !lot.steady || !lot.reduced_allowed) enter(Severity::normal);
            break;
        case Severity::stopped:
            break;
    }
    return severity_;
}

Checked<SMethodResult> judge_by_variables(std::span<const double> values, const SMethodRule& rule) {
    if (const auto flaw = flaw_of(SpecLimits{rule.low, rule.high})) return *flaw;
    if (!std::isfinite(rule.k)) return Flaw::not_finite;
    if (values.size() < 3) return Flaw::too_few_points;
    if (!statistics::all_finite(values)) return Flaw::not_finite;
    const auto scatter = overall_scatter(statistics::Moments::of(values));
    if (!scatter) return scatter.error();
    SMethodResult result;
    result.mean = scatter->mean;
    result.deviation = scatter->deviation;
    if (rule.low) result.q_low = (result.mean - *rule.low) / result.deviation;
    if (rule.high) result.q_high = (*rule.high - result.mean) / result.deviation;
    result.accepted =
        result.q_low.value_or(rule.k) >= rule.k && result.q_high.value_or(rule.k) >= rule.k;
    return result;
}

}  // namespace padtrim::quality
