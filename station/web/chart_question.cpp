#include "station/web/chart_question.hpp"

namespace padtrim::web {

record::Stage stage_of(Question& question) {
    return question.flag("as-left") ? record::Stage::as_left : record::Stage::as_found;
}

answers::ControlWish chart_wish(Question& question) {
    answers::ControlWish wish;
    // Whoever says how a chart is to be made does not mean the frozen one.
    const bool made_so = question.says(
        {"kind", "rules", "size", "baseline", "lambda", "width", "slack", "decision"});
    wish.use_frozen = !question.flag("anew") && !made_so;
    wish.kind =
        answers::control_kind_of(question.one_of("kind", answers::control_kind_names())).value();
    const auto rules = question.some_of("rules", answers::run_rule_names());
    if (!rules.empty()) {
        wish.rules = {};
        for (const auto& rule : rules) wish.rules.insert(answers::run_rule_of(rule).value());
    }
    constexpr answers::CountRange points{0, 1'000'000};
    wish.size = question.count("size", answers::subgroup_size).value_or(wish.size);
    wish.baseline = question.count("baseline", points).value_or(wish.baseline);
    const auto take = [&](const char* name, const answers::NumberRange& range, double& value) {
        value = question.number(name, range).value_or(value);
    };
    take("lambda", answers::newest_weight, wish.weighted.lambda);
    take("width", answers::limit_width, wish.weighted.width);
    take("slack", answers::half_shift, wish.sums.k);
    take("decision", answers::signalling_sum, wish.sums.h);
    return wish;
}

}  // namespace padtrim::web
