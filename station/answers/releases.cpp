#include "station/answers/releases.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "recipes/language/load.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"

namespace padtrim::answers {
namespace {

using record::PermissionKind;
using record::Permit;
using record::Release;

std::string day_of(record::WallTime at) {
    return minute_words(at) + " UTC";
}

std::string title_of(const language::Plan& plan) {
    return fmt::format("Recipe {} revision {} (plan {})", printable(plan.recipe.name, 60),
                       printable(plan.recipe.revision, 20), plan.hash.substr(0, 12));
}

Standing standing_by(const Release& release) {
    Standing standing;
    standing.permission = {PermissionKind::released, release.id};
    standing.sentence = fmt::format("Released by {} on {} (release {}).",
                                    printable(release.who, 40), day_of(release.at), release.id);
    return standing;
}

Standing standing_by(const Permit& permit) {
    Standing standing;
    standing.permission = {PermissionKind::permit, permit.id};
    standing.until = permit.until;
    if (permit.quantity) standing.left = *permit.quantity - std::min(*permit.quantity, permit.used);
    standing.sentence = fmt::format("Deviation permit {}, {}, by {}", permit.id,
                                    printable(permit.name, 60), printable(permit.who, 40));
    if (standing.left) standing.sentence += ": " + counted(*standing.left, "unit") + " left";
    if (permit.until) standing.sentence += fmt::format(", until {}", day_of(*permit.until));
    standing.sentence += ".";
    return standing;
}

bool over(const Permit& permit, record::WallTime now) {
    return (permit.until && now >= *permit.until) ||
           (permit.quantity && permit.used >= *permit.quantity);
}

bool withdrawn(const std::vector<Release>& releases, std::int64_t id) {
    return std::any_of(releases.begin(), releases.end(),
                       [&](const Release& r) { return r.id == id && r.withdrawn; });
}

std::string why_over(const Permit& permit, const std::vector<Release>& releases) {
    if (withdrawn(releases, permit.release))
        return fmt::format("Permit {} fell with release {}, which was withdrawn.", permit.id,
                           permit.release);
    if (permit.quantity && permit.used >= *permit.quantity)
        return fmt::format("Permit {} ({}) has let its {} through.", permit.id,
                           printable(permit.name, 60), counted(*permit.quantity, "unit"));
    return fmt::format("Permit {} ({}) ended on {}.", permit.id, printable(permit.name, 60),
                       day_of(permit.until.value_or(permit.at)));
}

// Why it may not run, what lies between it and what may, and what to do.
std::string refusal(const language::Plan& plan, const std::vector<Release>& releases,
                    const std::vector<Permit>& permits) {
    std::string text = title_of(plan) + " is not released in these records. ";
    for (const Permit& permit : permits) {
        if (permit.plan.hash != plan.hash) continue;
        text += why_over(permit, releases) + " ";
        break;
    }
    if (const auto before = release_before(releases, plan)) {
        const auto old = language::read_plan(before->plan.text).plan;
        const std::size_t changes = old ? language::changes_between(*old, plan).size() : 0;
        text +=
            fmt::format("It differs from release {} (revision {}) by {}. ", before->id,
                        printable(before->plan.recipe_revision, 20), counted(changes, "change"));
    }
    return text;
}

constexpr const char* release_command =
    "Let who may do so release it: padtrim release RECIPE --fixture FILE --unit FILE "
    "--records FILE --who NAME --why TEXT. Or run it as a draft with --draft, which marks every "
    "result.";

bool same_recipe(const Release& release, const language::Plan& plan) {
    return !release.withdrawn && release.plan.recipe == plan.recipe.name &&
           release.plan.product == plan.map.product;
}

// The profile without what the station measures and teaches: that changes under one revision.
language::FixtureProfile as_designed(language::FixtureProfile profile) {
    profile.equipment = {};
    for (auto& nest : profile.nests) nest.origin_x = nest.origin_y = {};
    if (profile.finger) profile.finger->surface_height = {};
    return profile;
}

std::string unsaid(const Release& release, const char* document, const std::string& name,
                   const std::string& revision, const language::Changes& changes) {
    if (changes.empty()) return "";
    return fmt::format(
        "Revision {} of {} {} was released with other contents (release {}): {} Give the changed "
        "document a new revision.",
        printable(revision, 20), document, printable(name, 60), release.id,
        printable(changes.front().sentence));
}

// What changed since a release without a new revision of its document; "" when nothing did.
std::string changed_unsaid(const Release& release, const language::Plan& old,
                           const language::Plan& plan) {
    std::string problem;
    if (old.recipe.name == plan.recipe.name && old.recipe.revision == plan.recipe.revision)
        problem = unsaid(release, "recipe", plan.recipe.name, plan.recipe.revision,
                         language::changes_between(old.recipe, plan.recipe));
    if (problem.empty() && old.map.revision == plan.map.revision)
        problem = unsaid(release, "register map", plan.map.product, plan.map.revision,
                         language::changes_between(old.map, plan.map));
    const bool same_fixture = old.fixture.fixture == plan.fixture.fixture &&
                              old.fixture.revision == plan.fixture.revision;
    if (problem.empty() && same_fixture)
        problem =
            unsaid(release, "fixture profile", plan.fixture.fixture, plan.fixture.revision,
                   language::changes_between(as_designed(old.fixture), as_designed(plan.fixture)));
    return problem;
}

const Permit* open_permit(const std::vector<Permit>& permits, const std::vector<Release>& releases,
                          const language::Plan& plan, record::WallTime now) {
    const auto found = std::find_if(permits.begin(), permits.end(), [&](const Permit& permit) {
        return permit.plan.hash == plan.hash && !over(permit, now) &&
               !withdrawn(releases, permit.release);
    });
    return found == permits.end() ? nullptr : &*found;
}

}  // namespace

bool mixes(const record::Permission& lot, const record::Permission& now) {
    if (lot.kind == PermissionKind::none) return false;
    return (lot.kind == PermissionKind::draft) != (now.kind == PermissionKind::draft);
}

record::PlanCopy copy_of(const language::Plan& plan) {
    return {plan.hash,        language::plan_text(plan), plan.recipe.name, plan.recipe.revision,
            plan.map.product, plan.fixture.fixture};
}

std::optional<Release> release_before(const std::vector<Release>& releases,
                                      const language::Plan& plan) {
    std::optional<Release> found;
    for (const Release& release : releases) {
        if (!same_recipe(release, plan)) continue;
        if (release.plan.fixture == plan.fixture.fixture) return release;
        if (!found) found = release;
    }
    return found;
}

std::string why_ended(const Permit& permit, const std::vector<Release>& releases,
                      record::WallTime now) {
    if (!over(permit, now) && !withdrawn(releases, permit.release)) return "";
    return why_over(permit, releases);
}

journal::Stored<Standing> standing_of(ledger::Reader& reader, const language::Plan& plan,
                                      bool draft, record::WallTime now) {
    if (draft) {
        Standing standing;
        standing.permission.kind = PermissionKind::draft;
        standing.sentence = title_of(plan) +
                            " runs as a draft: every result is marked and left out of production "
                            "figures.";
        return standing;
    }
    const auto releases = reader.releases();
    if (!releases) return releases.error();
    for (const Release& release : *releases) {
        if (release.plan.hash == plan.hash && !release.withdrawn) return standing_by(release);
    }
    const auto permits = reader.permits();
    if (!permits) return permits.error();
    if (const Permit* permit = open_permit(*permits, *releases, plan, now)) {
        return standing_by(*permit);
    }
    Standing standing;
    standing.why_not = refusal(plan, *releases, *permits);
    standing.sentence = standing.why_not + release_command;
    return standing;
}

std::string on_a_page(const Standing& standing) {
    if (standing.granted()) return standing.sentence;
    return standing.why_not +
           "Who may do so releases it on the page Plan and margins (/plan, F6). Or run it as a "
           "draft, which marks every result.";
}

ReleaseDraft draft_release(const std::vector<Release>& releases, const language::Plan& plan,
                           const std::string& who, const std::string& why, record::WallTime now) {
    ReleaseDraft draft;
    for (const Release& release : releases) {
        if (release.plan.hash != plan.hash || release.withdrawn) continue;
        draft.problem = fmt::format("{} is released already: {}", title_of(plan),
                                    standing_by(release).sentence);
        return draft;
    }
    for (const Release& release : releases) {
        if (release.withdrawn || release.plan.product != plan.map.product) continue;
        const auto old = language::read_plan(release.plan.text).plan;
        if (!old) continue;
        draft.problem = changed_unsaid(release, *old, plan);
        if (!draft.problem.empty()) return draft;
    }
    if (const auto before = release_before(releases, plan)) {
        draft.before = before->id;
        if (const auto old = language::read_plan(before->plan.text).plan) {
            draft.changes = language::changes_between(*old, plan);
        }
    }
    draft.release = Release{0, copy_of(plan), now, who, why, std::nullopt};
    return draft;
}

PermitDraft draft_permit(const std::vector<Release>& releases, const std::vector<Permit>& permits,
                         const language::Plan& plan, const PermitWish& wish, record::WallTime now) {
    PermitDraft draft;
    if (const Permit* open = open_permit(permits, releases, plan, now)) {
        draft.problem = standing_by(*open).sentence +
                        " It lets this plan through already; when it has ended, give another.";
        return draft;
    }
    if (!wish.until && !wish.quantity) {
        draft.problem = "A permit needs an end: give --until TIME, --quantity N, or both.";
        return draft;
    }
    if (wish.until && *wish.until <= now) {
        draft.problem = "The permit's end, " + day_of(*wish.until) + ", is past already.";
        return draft;
    }
    const auto before = release_before(releases, plan);
    if (!before) {
        draft.problem = title_of(plan) +
                        " has no release to deviate from. Release a revision of this recipe first.";
        return draft;
    }
    const auto old = language::read_plan(before->plan.text).plan;
    const auto changes = old ? language::changes_between(*old, plan) : language::Changes{};
    if (changes.empty()) {
        draft.problem = fmt::format("{} does not deviate from release {}: no permit is needed.",
                                    title_of(plan), before->id);
        return draft;
    }
    Permit permit;
    permit.name = wish.name;
    permit.plan = copy_of(plan);
    permit.release = before->id;
    for (const auto& change : changes) permit.changes.push_back(change.sentence);
    permit.until = wish.until;
    permit.quantity = wish.quantity;
    permit.at = now;
    permit.who = wish.who;
    permit.why = wish.why;
    draft.permit = std::move(permit);
    return draft;
}

}  // namespace padtrim::answers
