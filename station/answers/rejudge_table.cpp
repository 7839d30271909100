#include "station/answers/rejudge_table.hpp"

#include <algorithm>

#include "recipes/language/changes.hpp"

namespace padtrim::answers {

using record::Verdict;

std::uint8_t badness(Verdict verdict) {
    switch (verdict) {
        case Verdict::pass:
            return 1;
        case Verdict::inconclusive:
            return 2;
        case Verdict::fail:
            return 3;
        case Verdict::no_verdict:
            break;
    }
    return 0;
}

bool limits_alone(const language::Recipe& before, const language::Recipe& after) {
    using language::ChangeKind;
    for (const auto& change : language::changes_between(before, after)) {
        const bool limit = change.kind == ChangeKind::limit_widened ||
                           change.kind == ChangeKind::limit_tightened ||
                           change.kind == ChangeKind::limit_shifted;
        const bool name =
            change.place.empty() && (change.what == "name" || change.what == "revision" ||
                                     change.what.rfind("decision.", 0) == 0);
        if (!limit && !name) return false;
    }
    return true;
}

bool has_looks(const language::Recipe& recipe) {
    return std::any_of(recipe.steps.begin(), recipe.steps.end(), [](const language::Step& step) {
        const auto* touch = std::get_if<language::TouchStep>(&step.body);
        return touch != nullptr && touch->looks > 1;
    });
}

}  // namespace padtrim::answers
