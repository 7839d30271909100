#include <algorithm>
#include <map>
#include <optional>

#include "recipes/document/quantity_text.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {
namespace {

using document::Document;

constexpr std::size_t fewest_references = 4;
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

void check_fit(Document& document, std::size_t index, std::vector<std::string> names) {
    const auto path = item_path("step", index, "references");
    if (!document.sound(path)) return;
    std::sort(names.begin(), names.end());
    const auto twice = std::adjacent_find(names.begin(), names.end());
    if (twice != names.end())
        return document.complain(path, "reference " + in_quotes(*twice) + " stands here twice",
                                 "Name each reference once.");
    if (names.size() < fewest_references)
        document.complain(
            path,
            std::to_string(names.size()) + " references cannot show whether a channel is linear",
            "Name at least 4 references of different size.");
}

void check_keys_once(Document& document, std::size_t index, std::vector<std::string> names) {
    std::sort(names.begin(), names.end());
    const auto twice = std::adjacent_find(names.begin(), names.end());
    if (twice != names.end())
        document.complain(item_path("step", index, "keys"),
                          "key " + in_quotes(*twice) + " stands here twice", "Name each key once.");
}

void check_looks(Document& document, std::size_t index, const TouchStep& step) {
    if (step.looks > 1 && (step.scans % step.looks != 0 || step.scans / step.looks < 2))
        document.complain(item_path("step", index, "looks"),
                          std::to_string(step.scans) + " scans cannot be taken in " +
                              std::to_string(step.looks) + " equal parts of 2 or more",
                          "Let scans be a multiple of looks, at least twice as many.");
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

// The reference that verifies must not have been part of any fit.
void check_held_out(Document& document, const Recipe& recipe, std::size_t index,
                    const VerifyStep& verify) {
    const auto path = item_path("step", index, "reference");
    if (!document.sound(path)) return;
    for (const auto& step : recipe.steps) {
        const auto* fit = std::get_if<GainOffsetStep>(&step.body);
        if (fit == nullptr ||
            std::count(fit->references.begin(), fit->references.end(), verify.reference) == 0)
            continue;
        document.complain(path,
                          "reference " + in_quotes(verify.reference) +
                              " was part of the fit in step " + in_quotes(step.name) +
                              ", so it proves nothing",
                          "Verify with a reference that the fit has not seen.");
    }
}

// A limit that a perfect unit would break is a mistake in the limit.
template <class Q>
void check_holds(Document& document, std::size_t index, std::string_view key,
                 const Interval<Q>& limit, double perfect) {
    const auto path = item_path("step", index, "limits." + std::string(key));
    if (!limit.limited() || !document.sound(path)) return;
    const bool low = !limit.low || limit.low->value() < perfect;
    const bool high = !limit.high || limit.high->value() > perfect;
    if (low && high) return;
    document.complain(
        path,
        "a perfect unit has " + document::quantity_text(perfect, Q::symbol()) +
            " and would fail this limit",
        "Write a limit that holds " + document::quantity_text(perfect, Q::symbol()) + " inside.");
}

// Quantities that are never negative cannot be at most zero.
template <class Q>
void check_reachable(Document& document, std::size_t index, std::string_view key,
                     const Interval<Q>& limit) {
    const auto path = item_path("step", index, "limits." + std::string(key));
    if (!limit.high || limit.high->value() > 0.0 || !document.sound(path)) return;
    document.complain(path, "no unit can be at or below 0 here", "Write a limit above 0.");
}

struct CheckBody {
    Document& document;
    const Recipe& recipe;
    std::size_t index;

    void operator()(const IdentifyStep&) const {}
    void operator()(const ContactStep& step) const {
        check_holds(document, index, "contact", step.contact, 100.0);
        check_reachable(document, index, "isolation", step.isolation);
    }
    void operator()(const GainOffsetStep& step) const {
        check_fit(document, index, step.references);
        check_reachable(document, index, "gain", step.gain);
        check_reachable(document, index, "non_linearity", step.non_linearity);
    }
    void operator()(const NoiseStep& step) const {
        check_reachable(document, index, "noise", step.noise);
    }
    void operator()(const TouchStep& step) const {
        check_keys_once(document, index, step.keys);
        check_looks(document, index, step);
        check_reachable(document, index, "response", step.response);
        check_reachable(document, index, "crosstalk", step.crosstalk);
        check_reachable(document, index, "signal_to_noise", step.signal_to_noise);
    }
    void operator()(const WriteTrimsStep&) const {}
    void operator()(const PowerCycleStep&) const {}
    void operator()(const VerifyStep& step) const {
        check_held_out(document, recipe, index, step);
        check_holds(document, index, "gain_error", step.gain_error, 0.0);
        check_holds(document, index, "offset_error", step.offset_error, 0.0);
    }
    void operator()(const WaitStep&) const {}
    void operator()(const AskStep&) const {}
    void operator()(const WarmUpStep& step) const {
        check_reachable(document, index, "drift", step.drift);
        const auto path = item_path("step", index, "longest");
        if (step.longest < step.interval && document.sound(path))
            document.complain(path, "the time is over before the second look",
                              "Write longest = at least the interval.");
    }
    void operator()(const LinkStep& step) const {
        check_reachable(document, index, "supply", step.supply);
        check_reachable(document, index, "reply_time", step.reply_time);
    }
    void operator()(const CrosstalkStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "crosstalk", step.crosstalk);
    }
    void operator()(const FrequencyStep& step) const {
        check_reachable(document, index, "departure", step.departure);
    }
    void operator()(const NonLinearityStep& step) const {
        check_fit(document, index, step.references);
        check_reachable(document, index, "non_linearity", step.non_linearity);
    }
    void operator()(const StuckKeyStep& step) const { check_keys_once(document, index, step.keys); }
    void operator()(const ApproachStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "operating_distance", step.operating_distance);
    }
    void operator()(const ResponseStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "response_time", step.response_time);
    }
    void operator()(const SlowApproachStep& step) const {
        check_keys_once(document, index, step.keys);
    }
    void operator()(const ProximityStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "response", step.response);
        check_reachable(document, index, "operating_distance", step.operating_distance);
    }
    void operator()(const SweepStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "non_linearity", step.non_linearity);
        check_reachable(document, index, "position_error", step.position_error);
    }
    void operator()(const HoverStep&) const {}
    void operator()(const WetPanelStep& step) const { check_keys_once(document, index, step.keys); }
};

}  // namespace

void check_document(Document& document, const Recipe& recipe) {
    if (recipe.steps.size() > most_steps) {
        document.complain("step",
                          "this recipe has " + std::to_string(recipe.steps.size()) + " steps",
                          "1000 are allowed.");
        return document.give_up();
    }
    for (std::size_t i = 0; i < recipe.steps.size(); ++i)
        std::visit(CheckBody{document, recipe, i}, recipe.steps[i].body);
    if (!all_readable(document, recipe)) return;
    check_step_names(document, recipe);
    check_flow(document, recipe);
    check_begin(document, recipe);
    check_writes(document, recipe);
}

}  // namespace padtrim::language
