// The raw counts of a run as JSON, with what the fixture held while each was taken: what an
// engineer asks for when a derived number is in doubt.
#pragma once

#include "db/record/observations.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

// {"nest", "label", "firmware", "readings": [{"step", "reference", "channels", "pins", "reading",
// "finger", "scans": [{"at_ms", "counter", "counts"}]}], "faults", "answers"}
[[nodiscard]] Json to_json(const record::Observations& observations);

}  // namespace padtrim::answers
