// By what right a plan runs: released, let through by a deviation permit, or as a draft. And what
// changed from one released plan to another.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "recipes/document/diagnostic.hpp"
#include "recipes/language/changes.hpp"
#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

struct Standing {
    record::Permission permission;          // none: it may not run
    std::optional<record::WallTime> until;  // of a permit, not itself
    std::optional<std::uint32_t> left;      // units that a permit still lets through
    std::string sentence;                   // by whose word, or why not and what to do
    std::string why_not;                    // the same without what to do; "" where it may run
    [[nodiscard]] bool granted() const { return permission.kind != record::PermissionKind::none; }
};

// `draft`: the caller asks for no more than a draft.
[[nodiscard]] journal::Stored<Standing> standing_of(ledger::Reader& reader,
                                                    const language::Plan& plan, bool draft,
                                                    record::WallTime now);

// The sentence for a page, which has no command line: the way out is a page, too.
[[nodiscard]] std::string on_a_page(const Standing& standing);

// Whether one lot would hold results of production and of a draft.
[[nodiscard]] bool mixes(const record::Permission& lot, const record::Permission& now);

[[nodiscard]] record::PlanCopy copy_of(const language::Plan& plan);

// The newest release of this recipe, product and fixture that was not withdrawn; of this recipe and
// product when there is none for the fixture.
[[nodiscard]] std::optional<record::Release> release_before(
    const std::vector<record::Release>& releases, const language::Plan& plan);

// What a release would be, or why it cannot be.
struct ReleaseDraft {
    std::optional<record::Release> release;
    language::Changes changes;  // from the release before
    std::optional<std::int64_t> before;
    std::string problem;
};
// A plan that is released already is refused, and a document whose revision was released with other
// contents: what changed gets a new revision. References and taught positions of a fixture are
// measured, and change under one.
[[nodiscard]] ReleaseDraft draft_release(const std::vector<record::Release>& releases,
                                         const language::Plan& plan, const std::string& who,
                                         const std::string& why, record::WallTime now);

struct PermitDraft {
    std::optional<record::Permit> permit;
    std::string problem;
};
struct PermitWish {
    std::string name, who, why;
    std::optional<record::WallTime> until;
    std::optional<std::uint32_t> quantity;
};
// A permit for a plan that deviates from the newest release of its recipe; one at a time.
[[nodiscard]] PermitDraft draft_permit(const std::vector<record::Release>& releases,
                                       const std::vector<record::Permit>& permits,
                                       const language::Plan& plan, const PermitWish& wish,
                                       record::WallTime now);

// Why this permit lets nothing through any more; "" while it does.
[[nodiscard]] std::string why_ended(const record::Permit& permit,
                                    const std::vector<record::Release>& releases,
                                    record::WallTime now);

// One side of a comparison: a file, or a released plan.
struct Compared {
    std::string name;  // as people know it: "recipe X revision A (release 3)"
    std::optional<language::Recipe> recipe;
    std::optional<language::RegisterMap> map;
    std::optional<language::FixtureProfile> fixture;
};
struct ChangesAnswer {
    Compared before, after;
    language::Changes changes;
    std::vector<document::Diagnostic> diagnostics;  // of the files
    std::string problem;                            // "" when it could be answered
};
// `before` and `after`: paths, numbers of releases, or released revisions of the other's recipe.
// `reader` may be null where both are files.
[[nodiscard]] journal::Stored<ChangesAnswer> changes_of(ledger::Reader* reader,
                                                        const std::string& before,
                                                        const std::string& after);

[[nodiscard]] Json to_json(const language::Changes& changes);
[[nodiscard]] Json to_json(const ChangesAnswer& answer);
[[nodiscard]] Json to_json(const record::Release& release);
[[nodiscard]] Json to_json(const record::Permit& permit);

}  // namespace padtrim::answers
