// Judging: from what was observed to what it means. Pure; no I/O, no clock, no state.
//
// The same plan, references and observations give the same UnitResult to the bit (the build has no
// fast-math), so a stored run can be judged again. `formula_version` names the set of formulas.
// The measurement model is that of docs/uncertainty.md.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <boost/system/result.hpp>

#include "db/record/observations.hpp"
#include "db/record/unit_result.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::metrology {

// Judges all that was observed. Steps that did not run yield no check; a fault, an abort or a
// missing step gives "no verdict" (with disposition quarantined when trims were written and not
// verified).
[[nodiscard]] record::UnitResult judge(const language::Plan& plan,
                                       const language::EquipmentRecord& references,
                                       const record::Observations& observations);

// Judges one step by itself, so that a recipe can stop on failure before the next one and a person
// can watch its keys. Of a step under way only the checks of keys that were read say anything. A
// step that the plan does not have gives "no verdict".
struct StepResult {
    record::Verdict verdict = record::Verdict::no_verdict;
    std::vector<record::CheckResult> checks;
};
[[nodiscard]] StepResult judge_step(const language::Plan& plan,
                                    const language::EquipmentRecord& references,
                                    const record::Observations& observations,
                                    const std::string& step);

// Register values that bring every channel to the map's nominal gain and offset (first sensing
// frequency), with the reason when a channel's trim is out of its register's range or nothing was
// fitted.
struct TrimProblem {
    int channel = -1;
    std::string what;
    bool out_of_range = false;  // known what to write, and the register cannot hold it
};
template <class T>
using Trimmed = boost::system::result<T, TrimProblem>;
[[noreturn]] void throw_exception_from_error(const TrimProblem& problem,
                                             const boost::source_location& where);

struct TrimProposal {
    std::vector<std::int32_t> gain;
    std::vector<std::int32_t> offset;
};
[[nodiscard]] Trimmed<TrimProposal> propose_trims(const language::Plan& plan,
                                                  const language::EquipmentRecord& references,
                                                  const record::Observations& observations);

}  // namespace padtrim::metrology
