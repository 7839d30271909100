#include "station/answers/rejudge.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include <fmt/format.h>

#include "recipes/language/load.hpp"
#include "station/engine/verdict.hpp"

namespace padtrim::answers {
namespace {

using record::CheckResult;
using record::UnitResult;
using record::Verdict;

bool same(double a, double b) {
    return a == b || (std::isnan(a) && std::isnan(b));
}

bool same(const std::optional<double>& a, const std::optional<double>& b) {
    return a.has_value() == b.has_value() && (!a || same(*a, *b));
}

bool same_check(const CheckResult& a, const CheckResult& b) {
    return a.step == b.step && a.check == b.check && a.key == b.key && a.channel == b.channel &&
           a.frequency == b.frequency && a.stage == b.stage && same(a.value, b.value) &&
           a.unit == b.unit && same(a.standard_uncertainty, b.standard_uncertainty) &&
           same(a.coverage_factor, b.coverage_factor) &&
           same(a.expanded_uncertainty, b.expanded_uncertainty) && same(a.low, b.low) &&
           same(a.high, b.high) && same(a.margin, b.margin) && a.verdict == b.verdict &&
           a.traceability == b.traceability && a.note == b.note;
}

bool same_line(const record::ChannelLine& a, const record::ChannelLine& b) {
    return a.channel == b.channel && a.frequency == b.frequency && a.key == b.key &&
           same(a.gain, b.gain) && same(a.offset, b.offset) &&
           same(a.gain_standard, b.gain_standard) && same(a.offset_standard, b.offset_standard) &&
           same(a.covariance, b.covariance) && same(a.gain_expanded, b.gain_expanded) &&
           same(a.offset_expanded, b.offset_expanded) &&
           same(a.degrees_of_freedom, b.degrees_of_freedom);
}

std::string place_of(const CheckResult& check) {
    std::string text = check.check;
    if (!check.key.empty()) text += " of " + check.key;
    return text + " in step " + check.step;
}

// The first thing in which two results of one run differ.
std::string first_difference(const UnitResult& stored, const UnitResult& now) {
    const std::size_t both = std::min(stored.checks.size(), now.checks.size());
    for (std::size_t i = 0; i < both; ++i) {
        const CheckResult &was = stored.checks[i], &is = now.checks[i];
        if (same_check(was, is)) continue;
        return fmt::format("{}: {:.17g} (margin {:.4g}, {}) was {:.17g} (margin {:.4g}, {}).",
                           place_of(is), is.value, is.margin, name_of(is.verdict), was.value,
                           was.margin, name_of(was.verdict));
    }
    if (stored.checks.size() != now.checks.size()) {
        return fmt::format("{} checks instead of {}.", now.checks.size(), stored.checks.size());
    }
    if (stored.verdict != now.verdict) return "Only the verdict differs: " + now.reason;
    return "Lines or sentences differ: " + now.reason;
}

using Place = std::tuple<std::string, std::string, std::string, record::Stage>;

Place place_in_table(const CheckResult& check) {
    return {check.step, check.check, check.key, check.stage};
}

// Worse verdicts are greater.
int badness(Verdict verdict) {
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

std::map<Place, int> worst_of(const UnitResult& result) {
    std::map<Place, int> worst;
    for (const CheckResult& check : result.checks) {
        int& kept = worst[place_in_table(check)];
        kept = std::max(kept, badness(check.verdict));
    }
    return worst;
}

struct Try {
    bool passed = false, passes = false, open = false;
};
struct Unit {
    std::optional<Try> first, last;
    std::map<Place, int> stored, now;  // of the newest run
};

class Rejudging {
  public:
    Rejudging(ledger::Reader& reader, const RejudgeWish& wish) : reader_(reader), wish_(wish) {
        if (!wish.recipe) return;
        answer_.recipe = wish.recipe->name;
        answer_.recipe_revision = wish.recipe->revision;
    }

    journal::Stored<Rejudged> run(const Done& done) {
        const auto runs = reader_.runs(wish_.filter);
        if (!runs) return runs.error();
        for (std::size_t i = 0; i < runs->size(); ++i) {
            const auto judged = judge_run((*runs)[i]);
            if (!judged) return judged.error();
            if (done) done(i + 1, runs->size());
        }
        count_units();
        return std::move(answer_);
    }

  private:
    // The plan of a run of this hash, or none; each is read once.
    const language::Plan* plan_of(const ledger::StoredRun& run) {
        const auto [place, fresh] = plans_.try_emplace(run.summary.plan_hash);
        if (!fresh) return place->second.get();
        language::PlanPtr plan = language::read_plan(run.plan_text).plan;
        if (plan && wish_.recipe) {
            plan = language::make_plan(*wish_.recipe, plan->map, plan->fixture);
        }
        return (place->second = std::move(plan)).get();
    }

    journal::Stored<void> judge_run(const ledger::RunSummary& summary) {
        if (wish_.recipe && wish_.recipe->product != summary.product) {
            ++answer_.other_product;
            return {};
        }
        const auto read = reader_.stored_run(summary.run);
        if (!read) return read.error();
        if (!read.value() || !read.value()->observations) return {};
        const ledger::StoredRun& stored = *read.value();
        const language::Plan* plan = plan_of(stored);
        if (plan == nullptr) {
            ++answer_.unreadable;
            return {};
        }
        take(stored, engine::verdict_of(*plan, summary.measure_only, *stored.observations));
        return {};
    }

    void take(const ledger::StoredRun& stored, const UnitResult& now) {
        ++answer_.runs;
        answer_.limit_checks += now.checks.size();
        answer_.formula_version = now.formula_version;
        const UnitResult& was = stored.result;
        const bool open = now.verdict == Verdict::no_verdict && was.verdict != Verdict::no_verdict;
        const bool same = same_result(was, now);
        const bool same_formulas = was.formula_version == now.formula_version;
        answer_.same += same ? 1 : 0;
        answer_.other_formulas += same_formulas ? 0 : 1;
        const bool unexplained = !same && same_formulas && !wish_.recipe;
        answer_.unexplained += unexplained ? 1 : 0;
        if (was.verdict != now.verdict || (!same && !wish_.recipe)) {
            answer_.changed.push_back({stored.summary.run, stored.summary.serial,
                                       stored.summary.lot_name, was.verdict, now.verdict, open,
                                       wish_.recipe ? now.reason : first_difference(was, now)});
        }
        keep(stored, now, open);
    }

    void keep(const ledger::StoredRun& stored, const UnitResult& now, bool open) {
        Unit& unit = units_[stored.summary.unit];
        unit.stored = worst_of(stored.result);
        unit.now = worst_of(now);
        if (stored.result.verdict == Verdict::no_verdict) return;  // no try of the unit
        const Try tried{stored.result.verdict == Verdict::pass, now.verdict == Verdict::pass, open};
        if (!unit.first) unit.first = tried;
        unit.last = tried;
    }

    void count_units() {
        std::map<Place, CheckYield> table;
        for (const auto& [id, unit] : units_) {
            count_tries(unit);
            for (const auto& [place, bad] : unit.stored) {
                if (bad > 0) count(table, place).stored_pass += bad == 1 ? 1 : 0;
            }
            for (const auto& [place, bad] : unit.now) {
                if (bad == 0) continue;
                CheckYield& line = count(table, place);
                ++line.units;
                ++(bad == 1 ? line.pass : bad == 2 ? line.inconclusive : line.fail);
            }
        }
        for (auto& [place, line] : table) answer_.checks.push_back(std::move(line));
        std::stable_sort(answer_.checks.begin(), answer_.checks.end(),
                         [](const CheckYield& a, const CheckYield& b) {
                             return a.fail + a.inconclusive > b.fail + b.inconclusive;
                         });
    }

    void count_tries(const Unit& unit) {
        if (!unit.first) return;
        ++answer_.units;
        answer_.stored.first_pass += unit.first->passed ? 1 : 0;
        answer_.stored.final_pass += unit.last->passed ? 1 : 0;
        answer_.now.first_pass += unit.first->passes ? 1 : 0;
        answer_.now.final_pass += unit.last->passes ? 1 : 0;
        answer_.now.first_open += unit.first->open ? 1 : 0;
        answer_.now.final_open += unit.last->open ? 1 : 0;
    }

    static CheckYield& count(std::map<Place, CheckYield>& table, const Place& place) {
        CheckYield& line = table[place];
        std::tie(line.step, line.check, line.key, line.stage) = place;
        return line;
    }

    ledger::Reader& reader_;
    const RejudgeWish& wish_;
    Rejudged answer_;
    std::map<std::string, language::PlanPtr> plans_;
    std::map<record::RunId, Unit> units_;
};

}  // namespace

bool same_result(const UnitResult& a, const UnitResult& b) {
    return a.formula_version == b.formula_version && a.verdict == b.verdict &&
           a.disposition == b.disposition && a.reason == b.reason && a.next_step == b.next_step &&
           std::equal(a.checks.begin(), a.checks.end(), b.checks.begin(), b.checks.end(),
                      same_check) &&
           std::equal(a.lines.begin(), a.lines.end(), b.lines.begin(), b.lines.end(), same_line);
}

journal::Stored<Rejudged> rejudge(ledger::Reader& reader, const RejudgeWish& wish,
                                  const Done& done) {
    return Rejudging(reader, wish).run(done);
}

}  // namespace padtrim::answers
