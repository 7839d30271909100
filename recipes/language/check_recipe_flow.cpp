// What makes a step run again, or not at all, and limits that differ on some keys.
#include <algorithm>

#include "recipes/document/field_writer.hpp"
#include "recipes/document/nearest.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {
namespace {

using document::Document;

// A step that may or may not run proves nothing, and one that writes is not done twice.
bool is_optional(const StepBody& body) {
    return is_repeatable(body) && !std::holds_alternative<VerifyStep>(body);
}

template <class Body>
bool is_first_of(const Recipe& recipe, std::size_t index) {
    for (std::size_t i = 0; i < recipe.steps.size(); ++i)
        if (std::holds_alternative<Body>(recipe.steps[i].body)) return i == index;
    return false;
}

// Trims are made from the first fit, and from the first touch when they aim at one.
bool is_needed_to_write(const Recipe& recipe, std::size_t index) {
    for (const auto& step : recipe.steps) {
        const auto* write = std::get_if<WriteTrimsStep>(&step.body);
        if (write == nullptr) continue;
        if (is_first_of<GainOffsetStep>(recipe, index)) return true;
        if (write->target == TrimTarget::touch && is_first_of<TouchStep>(recipe, index))
            return true;
    }
    return false;
}

// Who the unit is, and what was written into it.
void check_once(Document& document, const Recipe& recipe) {
    for (std::size_t i = 0; i < recipe.steps.size(); ++i) {
        const Step& step = recipe.steps[i];
        if (is_repeatable(step.body)) continue;
        if (step.retries > 0)
            document.complain(item_path("step", i, "retries"),
                              "this step is done once to a unit and never again",
                              "Leave retries out.");
        if (step.on_failure == OnFailure::go_on)
            document.complain(item_path("step", i, "on_failure"),
                              "a run cannot go on when this step does not pass",
                              "Leave on_failure out.");
    }
}

void check_condition(Document& document, const Recipe& recipe, std::size_t index) {
    const auto path = item_path("step", index, "only_if");
    if (!document.sound(path)) return;
    if (!is_optional(recipe.steps[index].body))
        return document.complain(path, "a unit's identity and proof do not depend on a condition",
                                 "Leave only_if out: a run ends by itself when a step fails.");
    if (is_needed_to_write(recipe, index))
        return document.complain(path,
                                 "the trims that are written come from this step, so it does not "
                                 "depend on a condition",
                                 "Leave only_if out, or repeat the step under another name.");
    const auto& named = recipe.steps[index].only_if->step;
    std::vector<std::string_view> earlier;
    for (std::size_t i = 0; i < index; ++i) {
        if (recipe.steps[i].name == named) return;
        earlier.push_back(recipe.steps[i].name);
    }
    document.complain(path + ".step", "there is no step " + in_quotes(named) + " before this one",
                      document::suggestion(named, earlier));
}

// A person may give no answer, whatever the rule.
bool asks_a_person(const StepBody& body) {
    const auto* wet = std::get_if<WetPanelStep>(&body);
    return std::holds_alternative<AskStep>(body) ||
           (wet != nullptr && wet->placed_by == PlacedBy::person);
}

void check_not_inconclusive(Document& document, const Recipe& recipe, std::size_t index,
                            const Step& named) {
    if (recipe.decision.kind != DecisionKind::simple || !document.sound("decision") ||
        asks_a_person(named.body))
        return;
    document.complain(item_path("step", index, "only_if.was"),
                      "under the simple rule " + in_quotes(named.name) +
                          " passes or fails and is never inconclusive",
                      "Write was = \"fail\", or decide by the guarded rule.");
}

// A failed step that ends the run leaves nobody to ask how it ended.
void check_condition_can_hold(Document& document, const Recipe& recipe, std::size_t index) {
    const auto& condition = *recipe.steps[index].only_if;
    if (!document.sound(item_path("step", index, "only_if"))) return;
    for (std::size_t i = 0; i < index; ++i) {
        if (recipe.steps[i].name != condition.step) continue;
        if (condition.was == Was::inconclusive)
            check_not_inconclusive(document, recipe, index, recipe.steps[i]);
        if (condition.was == Was::fail && recipe.steps[i].on_failure == OnFailure::stop)
            document.complain(item_path("step", index, "only_if"),
                              "when " + in_quotes(condition.step) +
                                  " fails the run ends, so this step is never done",
                              "Write on_failure = \"go on\" in that step.");
    }
}

void check_conditions(Document& document, const Recipe& recipe) {
    for (std::size_t i = 0; i < recipe.steps.size(); ++i) {
        if (!recipe.steps[i].only_if) continue;
        check_condition(document, recipe, i);
        check_condition_can_hold(document, recipe, i);
    }
}

// An exception narrows or widens a limit that is there; alone it would leave the other keys
// unchecked without saying so.
void check_exceptions(Document& document, std::size_t index, const Step& step) {
    StepBody body = step.body;
    document::FieldWriter writer;
    describe_body(writer, declaration_of(body), body);
    const auto node = writer.take();
    const auto* limits = node.find("limits");
    for (std::size_t e = 0; e < step.exceptions.size(); ++e)
        for (const auto& check : declaration_of(body).checks) {
            const auto& own = step.exceptions[e].limits;
            const auto same = std::find_if(own.begin(), own.end(), [&](const auto& limit) {
                return limit.check == check.name;
            });
            if (same == own.end()) continue;
            if (check.per == "unit") {
                document.complain(
                    document::path_item(item_path("step", index, "except"), e) + ".limits." +
                        std::string(check.limit_key),
                    std::string(check.name) + " is looked at once a unit, not on each key",
                    "Change limits." + std::string(check.limit_key) + " of the step.");
                continue;
            }
            if (limits != nullptr && limits->find(check.limit_key) != nullptr) continue;
            document.complain(
                document::path_item(item_path("step", index, "except"), e) + ".limits." +
                    std::string(check.limit_key),
                "this is an exception from a limit that the step does not have",
                "Add limits." + std::string(check.limit_key) + " to the step, for all others.");
        }
}

}  // namespace

void check_flow(Document& document, const Recipe& recipe) {
    check_once(document, recipe);
    check_conditions(document, recipe);
    for (std::size_t i = 0; i < recipe.steps.size(); ++i)
        if (!recipe.steps[i].exceptions.empty()) check_exceptions(document, i, recipe.steps[i]);
}

}  // namespace padtrim::language
