#include "station/answers/rejudge.hpp"

#include <algorithm>
#include <map>

#include "recipes/language/load.hpp"
#include "station/answers/rejudge_table.hpp"
#include "station/engine/verdict.hpp"

namespace padtrim::answers {
namespace {

using ledger::CheckPlace;
using ledger::PlacedCheck;
using record::CheckResult;
using record::UnitResult;
using record::Verdict;

struct Try {
    bool passed = false, passes = false, open = false;
};
struct Unit {
    std::optional<Try> first, last;
    Worst stored, now;  // of the newest run
};

struct Outcome {
    bool judged = false;
    bool left_out = false;  // not to be judged, and counted so
    Verdict now = Verdict::no_verdict;
    Worst stored, worst;
};

class Rejudging {
  public:
    Rejudging(ledger::Reader& reader, const RejudgeWish& wish, const Done& done)
        : reader_(reader), wish_(wish), done_(done) {
        if (!wish.recipe) return;
        answer_.recipe = wish.recipe->name;
        answer_.recipe_revision = wish.recipe->revision;
    }

    journal::Stored<Rejudged> run() {
        auto runs = reader_.runs(wish_.filter);
        if (!runs) return runs.error();
        runs_ = std::move(*runs);
        if (wish_.recipe) {
            const auto other = std::remove_if(runs_.begin(), runs_.end(), [&](const auto& run) {
                return run.product != wish_.recipe->product;
            });
            answer_.other_product = static_cast<std::uint32_t>(runs_.end() - other);
            runs_.erase(other, runs_.end());
        }
        outcomes_.resize(runs_.size());
        for (std::size_t i = 0; i < runs_.size(); ++i) newest_[runs_[i].unit] = i;
        if (wish_.recipe && wish_.use_values) {
            const auto judged = judge_by_values();
            if (!judged) return judged.error();
        }
        for (std::size_t i = 0; i < runs_.size(); ++i) {
            if (outcomes_[i].judged || outcomes_[i].left_out) continue;
            const auto judged = judge_in_full(i);
            if (!judged) return judged.error();
        }
        count();
        return std::move(answer_);
    }

  private:
    // What judges the runs of a plan; each plan is read once.
    Judging& judging_of(const ledger::RunSummary& run, const std::string& plan_text) {
        const auto [place, fresh] = judgings_.try_emplace(run.plan_hash);
        Judging& judging = place->second;
        if (!fresh) return judging;
        judging.plan = language::read_plan(plan_text).plan;
        if (!judging.plan || !wish_.recipe) return judging;
        if (does_not_fit(*judging.plan)) {
            judging.unfit = true;
            return judging;
        }
        judging.by_values = !run.measure_only && !has_looks(*wish_.recipe) &&
                            limits_alone(judging.plan->recipe, *wish_.recipe);
        judging.plan = language::make_plan(*wish_.recipe, judging.plan->map, judging.plan->fixture);
        return judging;
    }

    bool does_not_fit(const language::Plan& plan) {
        if (!wish_.misfits) return false;
        const auto found = wish_.misfits(plan);
        for (const auto& misfit : found) {
            auto& known = answer_.misfits;
            if (std::find(known.begin(), known.end(), misfit) == known.end())
                known.push_back(misfit);
        }
        return !found.empty();
    }

    // The runs of plans that differ in limits alone, from their stored values. Whoever passed has
    // been measured to the end, so that one such run of each plan tells the limits of every place.
    journal::Stored<void> judge_by_values() {
        std::vector<std::size_t> chosen;
        for (std::size_t i = 0; i < runs_.size(); ++i) {
            const bool known = judgings_.count(runs_[i].plan_hash) > 0;
            if (!known && runs_[i].verdict == Verdict::pass) {
                const auto judged = judge_in_full(i);
                if (!judged) return judged.error();
            }
        }
        std::vector<record::RunId> ids;
        for (std::size_t i = 0; i < runs_.size(); ++i) {
            const auto judging = judgings_.find(runs_[i].plan_hash);
            if (outcomes_[i].judged || judging == judgings_.end()) continue;
            if (!judging->second.by_values || runs_[i].verdict == Verdict::no_verdict) continue;
            if (runs_[i].formula_version != judging->second.formulas) continue;
            chosen.push_back(i);
            ids.push_back(runs_[i].run);
        }
        return reader_.visit_checks(ids, places_, [&](std::size_t at, const auto& checks) {
            take_values(chosen[at], checks);
        });
    }

    void take_values(std::size_t index, std::span<const PlacedCheck> checks) {
        Judging& judging = judgings_.at(runs_[index].plan_hash);
        Outcome outcome;
        outcome.now = Verdict::pass;
        const PlacedCheck* decides = nullptr;
        for (const PlacedCheck& check : checks) {
            const auto* limits = judging.limits_at(places_, check.place);
            if (limits == nullptr || check.verdict == Verdict::no_verdict) return;
            const Verdict verdict =
                metrology::decide_check(
                    limits->doubt,
                    {check.value, check.standard_uncertainty, check.degrees_of_freedom},
                    check.coverage_factor, limits->limits, limits->rule)
                    .verdict;
            if (verdict == Verdict::no_verdict) return;
            const std::size_t line = lines_.of(places_, check.place);
            note(outcome.stored, line, check.verdict);
            note(outcome.worst, line, verdict);
            if (badness(verdict) <= badness(outcome.now)) continue;
            outcome.now = verdict;
            decides = &check;
        }
        const ledger::RunSummary& run = runs_[index];
        // A unit that was stopped, and is not any more, has steps that nobody measured.
        if (outcome.now == Verdict::pass && run.verdict != Verdict::pass) return;
        if (outcome.now != run.verdict) {
            changed_[index] = {
                run.run,
                run.serial,
                run.lot_name,
                run.verdict,
                outcome.now,
                false,
                failing_text(places_[decides->place], decides->value,
                             judging.limits_at(places_, decides->place)->limits, outcome.now)};
        }
        outcome.judged = true;
        answer_.limit_checks += checks.size();
        answer_.from_values += checks.size();
        keep(index, std::move(outcome));
    }

    journal::Stored<void> judge_in_full(std::size_t index) {
        const auto read = reader_.stored_run(runs_[index].run);
        if (!read) return read.error();
        if (!read.value() || !read.value()->observations) return {};
        const ledger::StoredRun& stored = *read.value();
        Judging& judging = judging_of(stored.summary, stored.plan_text);
        if (!judging.plan || judging.unfit) {
            ++(judging.unfit ? answer_.unfit : answer_.unreadable);
            outcomes_[index].left_out = true;
            return {};
        }
        const UnitResult now =
            engine::verdict_of(*judging.plan, stored.summary.measure_only, *stored.observations);
        if (judging.by_values && judging.learnt.empty() && stored.result.verdict == Verdict::pass) {
            judging.learn(now);
        }
        take(index, stored, now);
        return {};
    }

    void take(std::size_t index, const ledger::StoredRun& stored, const UnitResult& now) {
        const UnitResult& was = stored.result;
        const bool same = same_result(was, now);
        const bool same_formulas = was.formula_version == now.formula_version;
        answer_.limit_checks += now.checks.size();
        answer_.formula_version = now.formula_version;
        answer_.same += same ? 1 : 0;
        answer_.other_formulas += same_formulas ? 0 : 1;
        answer_.unexplained += !same && same_formulas && !wish_.recipe ? 1 : 0;
        if (was.verdict != now.verdict || (!same && !wish_.recipe)) {
            changed_[index] = {stored.summary.run,
                               stored.summary.serial,
                               stored.summary.lot_name,
                               was.verdict,
                               now.verdict,
                               is_open(was.verdict, now.verdict),
                               wish_.recipe ? what_decides(now) : first_difference(was, now)};
        }
        Outcome outcome;
        outcome.judged = true;
        outcome.now = now.verdict;
        for (const CheckResult& check : was.checks) {
            note(outcome.stored, lines_.of(check.step, check.check, check.key, check.stage),
                 check.verdict);
        }
        for (const CheckResult& check : now.checks) {
            note(outcome.worst, lines_.of(check.step, check.check, check.key, check.stage),
                 check.verdict);
        }
        keep(index, std::move(outcome));
    }

    static bool is_open(Verdict was, Verdict now) {
        return now == Verdict::no_verdict && was != Verdict::no_verdict;
    }

    void keep(std::size_t index, Outcome outcome) {
        ++answer_.runs;
        answer_.drafts += runs_[index].permission.kind == record::PermissionKind::draft ? 1 : 0;
        if (newest_.at(runs_[index].unit) != index) {
            outcome.stored.clear();
            outcome.worst.clear();
        }
        outcomes_[index] = std::move(outcome);
        if (done_) done_(answer_.runs, runs_.size());
    }

    void count() {
        std::map<record::RunId, Unit> units;
        for (std::size_t i = 0; i < runs_.size(); ++i) {
            Outcome& outcome = outcomes_[i];
            if (!outcome.judged) continue;
            Unit& unit = units[runs_[i].unit];
            if (newest_.at(runs_[i].unit) == i) {
                unit.stored = std::move(outcome.stored);
                unit.now = std::move(outcome.worst);
            }
            const Verdict was = runs_[i].verdict;
            if (was == Verdict::no_verdict) continue;  // no try of the unit
            const Try tried{was == Verdict::pass, outcome.now == Verdict::pass,
                            is_open(was, outcome.now)};
            if (!unit.first) unit.first = tried;
            unit.last = tried;
        }
        for (const auto& [id, unit] : units) {
            count_tries(unit);
            count_lines(unit);
        }
        answer_.checks = lines_.take();
        std::erase_if(answer_.checks,
                      [](const CheckYield& line) { return line.units + line.stored_pass == 0; });
        std::stable_sort(answer_.checks.begin(), answer_.checks.end(),
                         [](const CheckYield& a, const CheckYield& b) {
                             return a.fail + a.inconclusive > b.fail + b.inconclusive;
                         });
        for (auto& [index, run] : changed_) answer_.changed.push_back(std::move(run));
    }

    void count_lines(const Unit& unit) {
        for (std::size_t line = 0; line < unit.stored.size(); ++line) {
            lines_[line].stored_pass += unit.stored[line] == 1 ? 1 : 0;
        }
        for (std::size_t i = 0; i < unit.now.size(); ++i) {
            if (unit.now[i] == 0) continue;
            CheckYield& line = lines_[i];
            ++line.units;
            ++(unit.now[i] == 1 ? line.pass : unit.now[i] == 2 ? line.inconclusive : line.fail);
        }
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

    ledger::Reader& reader_;
    const RejudgeWish& wish_;
    const Done& done_;
    Rejudged answer_;
    std::vector<ledger::RunSummary> runs_;
    std::vector<Outcome> outcomes_;                // one a run
    std::map<record::RunId, std::size_t> newest_;  // run of each unit
    std::map<std::string, Judging> judgings_;      // by plan hash
    std::vector<CheckPlace> places_;
    TableLines lines_;
    std::map<std::size_t, ChangedRun> changed_;
};

}  // namespace

journal::Stored<Rejudged> rejudge(ledger::Reader& reader, const RejudgeWish& wish,
                                  const Done& done) {
    return Rejudging(reader, wish, done).run();
}

}  // namespace padtrim::answers
