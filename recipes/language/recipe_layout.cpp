#include "recipes/document/node.hpp"
#include "recipes/language/layouts.hpp"
#include "recipes/language/step_declarations.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {

using document::between;
using document::Fields;
using document::may;
using document::must;

void describe_kind(Fields& f, std::string_view kind) {
    std::int64_t version = layout_version;
    f.whole({kind, "kind of document, and the version of its layout", true, "1"}, version,
            document::at_least(1));
}

void describe(Fields& f, DecisionRule& decision) {
    f.add(may("rule", "simple acceptance, or guarded by the uncertainty"), decision.kind);
    f.add(may("consumer_risk", "largest probability of one wrong pass, for a guarded rule"),
          decision.consumer_risk, between(1e-6, 0.5));
}

void describe(Fields& f, Condition& condition) {
    f.add(must("step", "an earlier step of this recipe"), condition.step);
    f.add(may("was", "how that step ended; a step that did not run ended in no way"),
          condition.was);
}

namespace {

// What steps take over unless they say otherwise.
struct StepDefaults {
    OnFailure on_failure = OnFailure::stop;
    unsigned retries = 0;
    std::optional<unsigned> scans;
};

constexpr document::Range retry_range = between(0, 20);

void describe_defaults(Fields& f, StepDefaults& defaults) {
    f.add(may("on_failure", "of every step that a run may go on after"), defaults.on_failure);
    f.add(may("retries", "of every step that may be repeated"), defaults.retries, retry_range);
    if (!f.present("scans", defaults.scans.has_value())) return;
    unsigned scans = defaults.scans.value_or(16);
    f.add(may("scans", "of every step that scans"), scans, between(2, 4096));
    defaults.scans = scans;
}

void preset(Step& step, const StepDeclaration& declaration, const StepDefaults& defaults) {
    step.body = declaration.initial;
    step.name = declaration.name;
    step.on_failure = is_repeatable(step.body) ? defaults.on_failure : OnFailure::stop;
    step.retries = is_repeatable(step.body) ? defaults.retries : 0;
    if (!defaults.scans) return;
    std::visit(
        [&](auto& body) {
            if constexpr (requires { body.scans = 1U; }) body.scans = *defaults.scans;
        },
        step.body);
}

void describe_exception(Fields& f, Exception& exception, const StepDeclaration& declaration) {
    f.add(may("keys", "on which keys; or"), exception.keys);
    f.add(may("channels", "on which channels"), exception.channels);
    if (f.reading() && exception.keys.empty() == exception.channels.empty())
        f.complain("", "keys or channels are wanted here, one of the two",
                   "Write keys = [\"...\"], or channels = [0].");
    const std::vector<ExceptedLimit> before = std::move(exception.limits);
    exception.limits.clear();
    f.table(must("limits", "what is allowed there"), [&](Fields& below) {
        for (const auto& check : declaration.checks) {
            if (check.limit_key.empty()) continue;
            document::Limit limit;
            for (const auto& each : before)
                if (each.check == check.name) limit = {each.low, each.high};
            below.limit({check.limit_key, check.meaning, false,
                         check.ends == Ends::lower ? "at least" : ""},
                        limit, check.unit);
            if (limit.low || limit.high)
                exception.limits.push_back({std::string(check.name), limit.low, limit.high});
        }
    });
}

// Optional lists that most steps lack stand in the canonical text only where there are some.
void describe_exceptions(Fields& f, Step& step, const StepDeclaration& declaration) {
    if (!has_limits(declaration) || !f.present("except", !step.exceptions.empty())) return;
    f.tables(
        may("except", "limits that differ on some keys or channels; the last that fits counts"),
        step.exceptions.size(), [&](std::size_t count) { step.exceptions.resize(count); },
        [&](Fields& below, std::size_t i) {
            describe_exception(below, step.exceptions[i], declaration);
        });
}

// In a recipe based on another; extend_recipe.cpp takes them out before a recipe is read.
void document_changes(Fields& f) {
    if (f.reading() || f.writing()) return;
    std::string name;
    bool drop = false;
    f.text(may("before", "only with based_on: put the step before this one"), name);
    f.text(may("after", "only with based_on: put the step after this one"), name);
    f.flag(may("drop", "only with based_on: leave this step of the base out"), drop);
}

// `do` first: it says which other keys there are.
void describe_step(Fields& f, Step& step, const StepDefaults& defaults) {
    const auto& names = step_names();
    std::size_t kind = f.reading() ? names.size() : step.body.index();
    f.choice(must("do", "kind of step"), kind, names);
    if (kind == names.size()) return f.ignore_rest();
    const auto& declaration = step_declarations()[kind];
    if (f.reading()) preset(step, declaration, defaults);
    f.add(may("name", "how results name it; the kind when left out"), step.name);
    f.add(may("on_failure", "whether the unit's run ends when this step does not pass"),
          step.on_failure);
    f.add(may("retries", "how often a step that did not pass is done again; the last one counts"),
          step.retries, retry_range);
    if (f.present("only_if", step.only_if.has_value())) {
        Condition condition = step.only_if.value_or(Condition{});
        f.add(may("only_if", "does the step only if an earlier one ended so"), condition);
        step.only_if = std::move(condition);
    }
    document_changes(f);
    describe_exceptions(f, step, declaration);
    describe_body(f, declaration, step.body);
}

}  // namespace

void describe(Fields& f, Step& step) {
    describe_step(f, step, {});
}

void describe(Fields& f, Recipe& recipe) {
    describe_kind(f, recipe_kind);
    if (!f.reading() && !f.writing()) {
        std::string base;
        f.text(may("based_on", "file of the recipe that this one changes, from this file's folder"),
               base);
    }
    f.add(must("name", "of the recipe"), recipe.name);
    f.add(must("revision", "of this document"), recipe.revision);
    f.add(must("product", "unit type, as the register map names it"), recipe.product);
    if (f.present("fixture_has", !recipe.fixture_has.empty()))
        f.add(may("fixture_has", "what the fixture must have"), recipe.fixture_has);
    f.add(may("decision", "how limits are applied (JCGM 106)"), recipe.decision);
    if (f.present("runs_at_most", recipe.runs_at_most != runs_at_most_unsaid))
        f.add(may("runs_at_most",
                  "how many runs of a unit may end without a pass before a person decides"),
              recipe.runs_at_most, between(1, 100));
    StepDefaults defaults;
    if (!f.writing())
        f.table(may("defaults", "what steps take over unless they say otherwise"),
                [&](Fields& below) { describe_defaults(below, defaults); });
    f.tables(
        must("step", "what to do, in order"), recipe.steps.size(),
        [&](std::size_t count) { recipe.steps.resize(count); },
        [&](Fields& below, std::size_t i) { describe_step(below, recipe.steps[i], defaults); });
}

}  // namespace padtrim::language
