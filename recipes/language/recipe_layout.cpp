#include "recipes/language/layouts.hpp"
#include "recipes/language/step_declarations.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {

using document::Fields;
using document::may;
using document::must;

void describe_kind(Fields& f, std::string_view kind) {
    std::int64_t version = layout_version;
    f.whole(must(kind, "kind of document, and the version of its layout"), version,
            document::at_least(1));
}

void describe(Fields& f, DecisionRule& decision) {
    f.add(may("rule", "simple acceptance, or guarded by the uncertainty"), decision.kind);
    f.add(may("consumer_risk", "largest probability of one wrong pass, for a guarded rule"),
          decision.consumer_risk, document::between(1e-6, 0.5));
}

// `do` first: it says which other keys there are.
void describe(Fields& f, Step& step) {
    const auto& names = step_names();
    std::size_t kind = f.reading() ? names.size() : step.body.index();
    f.choice(must("do", "kind of step"), kind, names);
    if (kind == names.size()) return f.ignore_rest();
    const auto& declaration = step_declarations()[kind];
    if (f.reading()) {
        step.body = declaration.initial;
        step.name = declaration.name;
    }
    f.add(may("name", "how results name it; the kind when left out"), step.name);
    f.add(may("on_failure", "whether the unit's run ends when this step does not pass"),
          step.on_failure);
    describe_body(f, declaration, step.body);
}

void describe(Fields& f, Recipe& recipe) {
    describe_kind(f, recipe_kind);
    f.add(must("name", "of the recipe"), recipe.name);
    f.add(must("revision", "of this document"), recipe.revision);
    f.add(must("product", "unit type, as the register map names it"), recipe.product);
    f.add(may("decision", "how limits are applied (JCGM 106)"), recipe.decision);
    f.add(must("step", "what to do, in order"), recipe.steps);
}

}  // namespace padtrim::language
