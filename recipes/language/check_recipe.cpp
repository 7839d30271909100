#include <map>
#include <optional>

#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;

constexpr std::size_t most_steps = 1000;

template <class Body>
std::optional<std::size_t> first_of(const Recipe& recipe, std::size_t from = 0) {
    for (std::size_t i = from; i < recipe.steps.size(); ++i)
        if (std::holds_alternative<Body>(recipe.steps[i].body)) return i;
    return std::nullopt;
}

bool all_readable(const Document& document, const Recipe& recipe) {
    for (std::size_t i = 0; i < recipe.steps.size(); ++i)
        if (!document.sound(item_path("step", i, "do"))) return false;
    return document.sound("step") || !recipe.steps.empty();
}

void check_step_names(Document& document, const Recipe& recipe) {
    std::map<std::string, std::size_t> seen;
    for (std::size_t i = 0; i < recipe.steps.size(); ++i) {
        const auto& name = recipe.steps[i].name;
        if (name.empty() || seen.emplace(name, i).second) continue;
        document.complain(item_path("step", i, "name"),
                          "two steps have the name " + in_quotes(name),
                          "Give this step a name = \"...\" of its own.");
    }
}

void check_begin(Document& document, const Recipe& recipe) {
    if (recipe.steps.empty())
        return document.complain("step", "this recipe has no steps", "Add [[step]] tables.");
    if (!std::holds_alternative<IdentifyStep>(recipe.steps.front().body))
        document.complain("step[0].do", "the first step does not identify the unit",
                          "Begin with do = \"identify\".");
    if (const auto again = first_of<IdentifyStep>(recipe, 1))
        document.complain(item_path("step", *again, "do"), "the unit is identified a second time",
                          "Leave this step out.");
}

// What was written has to be proven: power away, then verify, before the recipe ends.
void check_write(Document& document, const Recipe& recipe, std::size_t index,
                 const WriteTrimsStep& write) {
    const auto path = item_path("step", index, "do");
    const auto fit = first_of<GainOffsetStep>(recipe);
    const auto touch = first_of<TouchStep>(recipe);
    if (!fit || *fit > index)
        document.complain(path, "no gain and offset are measured before the trims are written",
                          "Put a step do = \"gain and offset\" before it.");
    if (write.target == TrimTarget::touch && (!touch || *touch > index))
        document.complain(path, "no touch response is measured before trims that aim at it",
                          "Put a step do = \"touch response\" before it.");
    if (write.target == TrimTarget::touch && write.target_response.value() <= 0.0)
        document.complain(item_path("step", index, "target"),
                          "trims that aim at a touch need to know which response",
                          "Add target_response = \"350 counts\", say.");
    const auto cycle = first_of<PowerCycleStep>(recipe, index);
    if (!cycle)
        return document.complain(path,
                                 "trims are written, and power is never taken away afterwards",
                                 "Add do = \"power cycle\" and do = \"verify\" behind it.");
    if (!first_of<VerifyStep>(recipe, *cycle))
        document.complain(path, "trims are written, and not verified after the power cycle",
                          "Add do = \"verify\" behind the power cycle.");
}

void check_writes(Document& document, const Recipe& recipe) {
    const auto write = first_of<WriteTrimsStep>(recipe);
    if (!write) {
        if (const auto verify = first_of<VerifyStep>(recipe))
            document.complain(item_path("step", *verify, "do"),
                              "nothing is written that could be verified",
                              "Leave this step out, or put do = \"write trims\" before it.");
        return;
    }
    check_write(document, recipe, *write, std::get<WriteTrimsStep>(recipe.steps[*write].body));
    if (const auto again = first_of<WriteTrimsStep>(recipe, *write + 1))
        document.complain(item_path("step", *again, "do"), "trims are written a second time",
                          "Keep one of the two: each write wears the unit's memory.");
    const auto verify = first_of<VerifyStep>(recipe);
    if (verify && *verify < *write)
        document.complain(item_path("step", *verify, "do"),
                          "this step verifies trims before they are written",
                          "Move it behind the power cycle.");
}

}  // namespace

void check_document(Document& document, const Recipe& recipe) {
    if (recipe.steps.size() > most_steps) {
        document.complain("step",
                          "this recipe has " + std::to_string(recipe.steps.size()) + " steps",
                          "1000 are allowed.");
        return document.give_up();
    }
    check_step_values(document, recipe);
    if (!all_readable(document, recipe)) return;
    check_step_names(document, recipe);
    check_flow(document, recipe);
    check_begin(document, recipe);
    check_writes(document, recipe);
}

}  // namespace padtrim::language
