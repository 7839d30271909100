// The table of checks and keys that judging again fills, and what judges the runs of one plan.
// Internal to judging again; not thread safe.
#pragma once

#include <algorithm>
#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "recipes/language/plan.hpp"
#include "station/answers/rejudge.hpp"
#include "station/answers/result_words.hpp"

namespace padtrim::answers {

// Worse verdicts are greater; 0 says that a check was not made.
[[nodiscard]] std::uint8_t badness(record::Verdict verdict);

// The lines of the table: a check of a key, whatever its channel and frequency.
class TableLines {
  public:
    std::size_t of(const std::string& step, const std::string& check, const std::string& key,
                   record::Stage stage) {
        const auto [place, fresh] = numbers_.try_emplace({step, check, key, stage}, lines_.size());
        if (fresh) lines_.push_back({step, check, key, stage, 0, 0, 0, 0, 0});
        return place->second;
    }
    // A place of the ledger's list; looked up once.
    std::size_t of(const std::vector<ledger::CheckPlace>& places, std::size_t place) {
        while (of_place_.size() < places.size()) {
            const ledger::CheckPlace& each = places[of_place_.size()];
            of_place_.push_back(of(each.step, each.check, each.key, each.stage));
        }
        return of_place_[place];
    }
    std::vector<CheckYield> take() { return std::move(lines_); }
    CheckYield& operator[](std::size_t line) { return lines_[line]; }

  private:
    using Line = std::tuple<std::string, std::string, std::string, record::Stage>;
    std::map<Line, std::size_t> numbers_;
    std::vector<CheckYield> lines_;
    std::vector<std::size_t> of_place_;
};

// The worst verdict of each line.
using Worst = std::vector<std::uint8_t>;
inline void note(Worst& worst, std::size_t line, record::Verdict verdict) {
    if (worst.size() <= line) worst.resize(line + 1, 0);
    worst[line] = std::max(worst[line], badness(verdict));
}

// Whether a recipe asks another question than the plan only where stored values can answer it.
[[nodiscard]] bool limits_alone(const language::Recipe& before, const language::Recipe& after);
// A verdict that was reached look by look needs the readings.
[[nodiscard]] bool has_looks(const language::Recipe& recipe);

// A plan that stored runs name, and what judges them now.
struct Judging {
    language::PlanPtr plan;  // none: this program cannot read it
    bool unfit = false;      // the recipe is not for its register map or fixture
    bool by_values = false;  // limits alone changed
    std::string formulas;    // of today
    // Limits by place, learnt from a run that was judged in full.
    struct Decides {
        metrology::Limits limits;
        language::DecisionRule rule;
        language::Doubt doubt = language::Doubt::of_value;
    };
    std::vector<std::pair<ledger::CheckPlace, Decides>> learnt;
    std::vector<const Decides*> of_place;

    void learn(const record::UnitResult& judged) {
        for (const record::CheckResult& check : judged.checks) {
            learnt.push_back({place_of(check),
                              {limits_of(check), metrology::rule_of(plan->recipe, check.step),
                               language::doubt_of(check.check)}});
        }
        formulas = judged.formula_version;
    }
    // Null for a place that the learnt run did not have.
    const Decides* limits_at(const std::vector<ledger::CheckPlace>& places, std::size_t place) {
        while (of_place.size() < places.size()) {
            const ledger::CheckPlace& wanted = places[of_place.size()];
            const auto found = std::find_if(learnt.begin(), learnt.end(),
                                            [&](const auto& each) { return each.first == wanted; });
            of_place.push_back(found == learnt.end() ? nullptr : &found->second);
        }
        return of_place[place];
    }
};

}  // namespace padtrim::answers
