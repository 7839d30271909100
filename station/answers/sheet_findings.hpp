// What a sheet found, as data: the page that shows it words it, in its reader's language. An object
// with a "kind" and the figures that belong to it; null where there is nothing to say, which leaves
// the sheet its question. Pure.
#pragma once

#include "station/answers/audit_answer.hpp"
#include "station/answers/capability_answer.hpp"
#include "station/answers/control_answer.hpp"
#include "station/answers/dispositions.hpp"
#include "station/answers/drift_answer.hpp"
#include "station/answers/gauge_answer.hpp"
#include "station/answers/in_doubt.hpp"
#include "station/answers/sampling_answer.hpp"
#include "station/answers/trace_answer.hpp"
#include "station/answers/yield_answer.hpp"

namespace padtrim::answers {

// "differ" or "alike", by the same test as the sheet's sentence.
[[nodiscard]] Json finding_of(const YieldAnswer& answer);
// "least": the smallest Ppk and where it is.
[[nodiscard]] Json finding_of(const CapabilityAnswer& answer);
// "signals" or "steady".
[[nodiscard]] Json finding_of(const ControlAnswer& answer);
// "station", "product" or "both": who drifts, at how many of the keys that were looked at;
// "steady"; "too few" points to tell. A check of the whole unit counts as one key.
[[nodiscard]] Json finding_of(const DriftAnswer& answer);
// "fit" or "not fit": the largest share of a tolerance that the measuring takes.
[[nodiscard]] Json finding_of(const GaugeAnswer& answer);
// "doubt": runs, and those that would get another verdict; "trusted": no shift check found the
// station wrong; "unchecked": none was ever kept.
[[nodiscard]] Json finding_of(const InDoubt& answer);
// "units", by what was asked for: "waiting", or the name of a disposition.
[[nodiscard]] Json finding_of(const Dispositions& answer);
// "inspection": of the plan that is inspected most strictly, and since which lot.
[[nodiscard]] Json finding_of(const std::vector<SamplingStanding>& standings);
// "touched": units, in runs.
[[nodiscard]] Json finding_of(const TouchedUnits& answer);
// {"kind": "acts", "n"}: entries of the audit.
[[nodiscard]] Json finding_of(const std::vector<record::AuditEntry>& entries);

}  // namespace padtrim::answers
