// Stored observations judged again; nothing is written.
//
// Without a recipe every run is judged by the plan that it was run with: where the formulas are
// those of then, each verdict, value and sentence comes out again to the bit; formulas that are
// newer tell what they change. With a recipe each run is judged by that recipe on the register map
// and fixture of its time: what would yield have been?
//
// A unit that the old limits stopped was never measured to its end. Where the recipe lets pass what
// was measured it is `open`: nobody knows what the rest would have said. Yields are therefore
// bounded: open units all failing, or all passing.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "db/quality/yield.hpp"
#include "recipes/document/diagnostic.hpp"
#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

struct RejudgeWish {
    ledger::RunFilter filter;
    std::optional<language::Recipe> recipe;
    // What the recipe asks for that a stored plan's register map and fixture lack; runs of such a
    // plan are left out. None given: it asks for nothing.
    std::function<std::vector<document::Diagnostic>(const language::Plan&)> misfits;
    // Where the recipe changes limits alone, results that stay what they were are told from the
    // stored values, many times faster and with the same answer; the rest is judged in full.
    bool use_values = true;
};

// A run whose result is not what was stored.
struct ChangedRun {
    record::RunId run = 0;
    std::string serial, lot;
    record::Verdict stored = record::Verdict::no_verdict, now = record::Verdict::no_verdict;
    bool open = false;
    std::string what;  // one sentence: what decides it now, or the first difference
};

// One check of one key over all units, each by its newest run. A unit counts by its worst channel
// and frequency.
struct CheckYield {
    std::string step, check, key;
    record::Stage stage = record::Stage::as_found;
    std::uint32_t units = 0;        // with a verdict of this check, stored or now
    std::uint32_t stored_pass = 0;  // as stored
    std::uint32_t pass = 0, fail = 0, inconclusive = 0;  // now
};

struct TriedYield {
    std::uint32_t first_pass = 0, final_pass = 0;
    std::uint32_t first_open = 0, final_open = 0;  // open units among them
};

struct Rejudged {
    std::string recipe, recipe_revision;  // "": each by its own plan
    std::string formula_version;          // of today
    std::uint32_t runs = 0;               // judged again
    std::uint32_t drafts = 0;             // of them, of recipes that were not released
    std::uint32_t other_product = 0;      // runs that the recipe is not for
    std::uint32_t unreadable = 0;         // runs whose stored plan this program cannot read
    std::uint32_t unfit = 0;  // runs whose register map or fixture the recipe is not for
    std::vector<document::Diagnostic> misfits;  // why, each once
    std::uint32_t same = 0;                     // the result is the stored one in everything
    std::uint32_t other_formulas = 0;           // runs that older or newer formulas judged
    std::uint32_t unexplained = 0;              // differ under the same plan and formulas: a defect
    std::uint32_t units = 0;                    // tried: with a stored verdict
    TriedYield stored, now;
    std::vector<CheckYield> checks;   // worst first
    std::vector<ChangedRun> changed;  // in the order of the runs
    std::uint64_t limit_checks = 0;   // limits applied
    std::uint64_t from_values = 0;    // of them, to values as stored (limits alone changed)
};

// Called after each run with how many of how many are done.
using Done = std::function<void(std::size_t, std::size_t)>;

[[nodiscard]] journal::Stored<Rejudged> rejudge(ledger::Reader& reader, const RejudgeWish& wish,
                                                const Done& done);

[[nodiscard]] Json to_json(const Rejudged& answer);

}  // namespace padtrim::answers
