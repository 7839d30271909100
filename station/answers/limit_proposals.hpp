// Limits proposed from what a line has made: statistical tolerance intervals (ISO 16269-6) of
// as-found results, and the yield that each would have given.
//
// Each unit counts by its newest run, whatever its lot and its verdict: limits say what the process
// does, so units that failed belong to it; look at them before you believe a wide limit. Under a
// guarded decision rule limits are taken in by the measurement's uncertainty, so that proposals are
// wider than the interval by as much. Intervals are made for each key and frequency by itself,
// since a unit's keys are not independent of each other; what is proposed for all keys together
// holds each of them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "db/statistics/tolerance.hpp"
#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"
#include "station/metrology/risk.hpp"

namespace padtrim::answers {

struct ProposalWish {
    ledger::RunFilter filter;
    std::vector<std::string> checks;  // none: every check that has a value
    statistics::ToleranceAim aim;
    std::size_t fewest = 10;  // values that a proposal for a key needs
};

struct LimitPair {
    std::optional<double> low, high;
    friend bool operator==(const LimitPair&, const LimitPair&) = default;
};

// Units under some limits, by the decision rule of the newest recipe.
struct UnitsUnder {
    std::uint32_t pass = 0, inconclusive = 0, fail = 0;
    [[nodiscard]] std::uint32_t units() const { return pass + inconclusive + fail; }
};

struct Proposal {
    LimitPair limits;
    std::string text;  // as a recipe writes it, rounded outwards: "352 to 441 counts/pF"
    UnitsUnder units;
};

struct Spreading {
    std::uint64_t values = 0;
    double mean = 0.0, standard_deviation = 0.0, low = 0.0, high = 0.0;
};

// One key of a check at one frequency; key "" and frequency -1: all of them together.
struct ProposedLimits {
    std::string step, check, measure, key;
    int frequency = -1;
    Spreading spread;
    LimitPair stored;  // of the newest run
    UnitsUnder under_stored;
    std::optional<Proposal> normal, distribution_free;
    // Under the limits in force, if the line goes on so: true values normal, their scatter what is
    // left of the values' without the measurement's (JCGM 106 9.5). Of all together: the worst key.
    // None where that is nothing, where values differ much in their uncertainty, or where there are
    // too few values or no limits.
    std::optional<metrology::GlobalRisk> risk;
    std::uint64_t wanted = 0;  // values that a distribution-free proposal needs
};

struct LimitProposals {
    statistics::ToleranceAim aim;
    language::PlanPtr plan;  // of the newest run; null where it cannot be read
    std::uint32_t units = 0;
    std::uint32_t drafts = 0;            // of them, by runs that were not released
    std::size_t fewest = 0;              // values that a proposal needs, as wished
    std::vector<ProposedLimits> checks;  // of each check the whole first, then its keys
};

[[nodiscard]] journal::Stored<LimitProposals> propose_limits(ledger::Reader& reader,
                                                             const ProposalWish& wish);

[[nodiscard]] Json to_json(const LimitProposals& answer);

}  // namespace padtrim::answers
