#include "station/answers/recipe_sheet.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "recipes/language/load.hpp"
#include "recipes/language/one_step.hpp"
#include "recipes/language/step_declarations.hpp"

namespace padtrim::answers {
namespace {

using RecipeObject = boost::json::object;

std::vector<StepOffer> offers_of(const language::Recipe& recipe) {
    std::vector<StepOffer> offers;
    for (const language::Step& step : recipe.steps)
        offers.push_back({step.name, std::string(language::declaration_of(step.body).name),
                          language::why_not_alone(step)});
    return offers;
}

void compare(RecipeSheet& sheet, const language::Plan& plan) {
    const auto before = release_before(sheet.releases, plan);
    if (!before) return;
    sheet.before = before->id;
    if (const auto old = language::read_plan(before->plan.text).plan)
        sheet.changes = language::changes_between(*old, plan);
}

// A permit with some end: only what the plan itself stands in the way of is told.
std::string why_no_permit(const RecipeSheet& sheet, const std::vector<record::Permit>& permits,
                          const language::Plan& plan, record::WallTime now) {
    if (sheet.standing.permission.kind == record::PermissionKind::released)
        return "It is released: no permit is needed.";
    return draft_permit(sheet.releases, permits, plan, {"-", "-", "-", std::nullopt, 1}, now)
        .problem;
}

}  // namespace

journal::Stored<RecipeSheet> recipe_sheet(ledger::Reader& reader, const language::Plan& plan,
                                          record::WallTime now) {
    RecipeSheet sheet;
    sheet.recipe = plan.recipe.name;
    sheet.revision = plan.recipe.revision;
    sheet.product = plan.map.product;
    sheet.fixture = plan.fixture.fixture;
    sheet.fixture_revision = plan.fixture.revision;
    sheet.hash = plan.hash;
    sheet.steps = offers_of(plan.recipe);
    auto standing = standing_of(reader, plan, false, now);
    if (!standing) return standing.error();
    sheet.standing = std::move(*standing);
    auto releases = reader.releases();
    if (!releases) return releases.error();
    sheet.releases = std::move(*releases);
    const auto permits = reader.permits();
    if (!permits) return permits.error();
    for (const auto& permit : *permits)
        sheet.permits.push_back({permit, why_ended(permit, sheet.releases, now)});
    compare(sheet, plan);
    sheet.no_release = draft_release(sheet.releases, plan, "-", "-", now).problem;
    sheet.no_permit = why_no_permit(sheet, *permits, plan, now);
    return sheet;
}

Json to_json(const RecipeSheet& sheet) {
    boost::json::array steps, releases, permits;
    for (const auto& offer : sheet.steps)
        steps.push_back(RecipeObject{{"step", text(offer.step)},
                                     {"kind", text(offer.kind)},
                                     {"not_alone", text(offer.not_alone)}});
    for (const auto& release : sheet.releases) releases.push_back(to_json(release));
    for (const auto& [permit, over] : sheet.permits) {
        RecipeObject one = to_json(permit).as_object();
        one["over"] = text(over);
        permits.push_back(std::move(one));
    }
    return RecipeObject{{"recipe", text(sheet.recipe)},
                        {"revision", text(sheet.revision)},
                        {"product", text(sheet.product)},
                        {"fixture", text(sheet.fixture)},
                        {"fixture_revision", text(sheet.fixture_revision)},
                        {"plan_hash", sheet.hash},
                        {"standing", text(on_a_page(sheet.standing))},
                        {"granted", sheet.standing.granted()},
                        {"steps", std::move(steps)},
                        {"before", sheet.before ? Json(*sheet.before) : Json(nullptr)},
                        {"changes", to_json(sheet.changes)},
                        {"no_release", text(sheet.no_release)},
                        {"no_permit", text(sheet.no_permit)},
                        {"releases", std::move(releases)},
                        {"permits", std::move(permits)}};
}

}  // namespace padtrim::answers
