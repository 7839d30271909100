// What the checks mean for a person: the reason in one sentence, and the one thing to do next.
//
// Internal to the room; pure. Rules of the trade: a key that feels references but not the finger
// has a fault above the electrode (glue, overlay); a channel that feels nothing has one below it
// (pin, connector, electrode); noise everywhere comes from the supply. Common practice, no source.
#pragma once

#include <string>

#include "station/metrology/findings.hpp"

namespace padtrim::metrology {

struct Sentences {
    std::string reason, next_step;
};

[[nodiscard]] Sentences sentences_of_failure(const Case& unit, const Findings& findings);
[[nodiscard]] Sentences sentences_of_doubt(const Case& unit, const Findings& findings);
[[nodiscard]] Sentences sentences_of_pass(const Case& unit, const Findings& findings);
// What a quarantined unit's next step says in place of this one.
[[nodiscard]] std::string in_quarantine(const std::string& next_step);
[[nodiscard]] Sentences sentences_of_no_verdict(const Case& unit, const Findings& findings,
                                                const std::string& missing_step);

}  // namespace padtrim::metrology
