// The station's own recipe as its author sees it: by what right it runs, what changed since the
// release before, which of its steps can be run alone, and what was released and permitted by whom,
// when and why. Pure, but for asking the ledger.
#pragma once

#include <string>
#include <vector>

#include "station/answers/releases.hpp"

namespace padtrim::answers {

struct StepOffer {
    std::string step, kind;
    std::string not_alone;  // why it cannot be run alone, "" when it can
};
// A permit, and why it lets nothing through any more; "" while it does.
struct PermitState {
    record::Permit permit;
    std::string over;
};
struct RecipeSheet {
    std::string recipe, revision, product, fixture, fixture_revision, hash;
    Standing standing;
    std::vector<StepOffer> steps;
    std::optional<std::int64_t> before;  // the release that it is compared with
    language::Changes changes;
    std::string no_release, no_permit;      // why neither can be given now, "" when they can
    std::vector<record::Release> releases;  // newest first
    std::vector<PermitState> permits;
};

[[nodiscard]] journal::Stored<RecipeSheet> recipe_sheet(ledger::Reader& reader,
                                                        const language::Plan& plan,
                                                        record::WallTime now);
[[nodiscard]] Json to_json(const RecipeSheet& sheet);

}  // namespace padtrim::answers
