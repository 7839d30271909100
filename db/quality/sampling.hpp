// Which lots a slow check accepts, and when it looks closer: switching rules to ISO 2859-1 and the
// s method of ISO 3951-1. Rules and numbers from memory of the standards; the tables of plans are
// not kept here: a plan comes from the recipe, or from two risks (db/statistics/acceptance.hpp).
// Pure.
//
//            2 of 5 or fewer lots refused              5 lots refused while tightened
//   normal ------------------------------> tightened ---------------------------------> stopped
//     |  ^  <------------------------------     ^                                           |
//     |  |      5 accepted in a row             +-------------------------------------------+
//     |  |                                                    supplier improved: resume
//     |  | a lot refused, production irregular, or ordered
//     v  |
//   reduced   switching score of 30, production steady, and allowed
//
// Only original inspections count, not lots that were mended and brought again. The score, kept
// under normal inspection, begins at 0 and returns to 0 with each refused lot: with an acceptance
// number of 2 or more it gains 3 where the lot would also pass at an acceptance quality limit one
// step tighter, else it returns to 0; with 0 or 1 it gains 2 for an accepted lot.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "db/statistics/acceptance.hpp"

namespace padtrim::quality {

enum class Severity { normal, tightened, reduced, stopped };

// One original inspection of a lot.
struct LotResult {
    bool accepted = false;
    std::uint64_t acceptance_number = 0;  // of the plan that was used
    bool accepted_one_step_tighter = false;
    bool steady = true;           // production is regular
    bool reduced_allowed = true;  // by whoever is responsible
};

class Switching {
  public:
    // The severity of the next lot. A lot brought while stopped changes nothing.
    Severity after(const LotResult& lot);
    // The supplier has improved: begin again, tightened.
    void resume();
    [[nodiscard]] Severity severity() const { return severity_; }
    [[nodiscard]] unsigned score() const { return score_; }
    friend bool operator==(const Switching&, const Switching&) = default;

  private:
    void enter(Severity severity);
    void under_normal(const LotResult& lot);
    void under_tightened(const LotResult& lot);

    Severity severity_ = Severity::normal;
    unsigned score_ = 0;
    unsigned in_row_ = 0;          // accepted, while tightened
    unsigned refused_ = 0;         // in total, while tightened
    std::vector<bool> last_lots_;  // accepted or not, at most 5, while normal
};

// One lot by variables: (U - mean) / s and (mean - L) / s, each to be at least its k. Limits are
// judged each for itself; the combined control of both is not offered.
struct SMethodRule {
    std::optional<double> low, high;  // limits
    double k = 0.0;
};
struct SMethodResult {
    double mean = 0.0, deviation = 0.0;
    std::optional<double> q_low, q_high;
    bool accepted = false;
};
// Flaws: out_of_domain without limits, empty_interval, too_few_points below 3 values, not_finite,
// not_positive where no value differs.
[[nodiscard]] statistics::Checked<SMethodResult> judge_by_variables(std::span<const double> values,
                                                                    const SMethodRule& rule);

}  // namespace padtrim::quality
