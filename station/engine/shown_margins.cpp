#include "station/engine/shown_margins.hpp"

#include <algorithm>
#include <utility>

#include "station/metrology/judge.hpp"
#include "station/metrology/nearest_checks.hpp"

namespace padtrim::engine {

namespace {

void append(std::vector<record::CheckResult>& to, const std::vector<record::CheckResult>& checks) {
    to.insert(to.end(), checks.begin(), checks.end());
}

}  // namespace

void ShownMargins::begin() {
    *this = ShownMargins();
}

bool ShownMargins::says(const std::string& key) {
    looked_at_ = std::exchange(key_, key);
    return !looked_at_.empty();
}

void ShownMargins::look(const language::Plan& plan, const record::Observations& seen,
                        const std::string& step) {
    const auto judged = metrology::judge_step(plan, plan.fixture.equipment, seen, step);
    std::erase_if(under_way_, [&](const auto& check) { return check.key == looked_at_; });
    append(under_way_,
           metrology::nearest_checks(metrology::checks_at_key(judged.checks, looked_at_)));
}

void ShownMargins::step_ended(const std::vector<record::CheckResult>& checks) {
    key_.clear();
    under_way_.clear();
    append(ended_, checks);
    ended_ = metrology::nearest_checks(ended_);
}

std::vector<record::CheckResult> ShownMargins::nearest() const {
    auto all = ended_;
    append(all, under_way_);
    return metrology::nearest_checks(all);
}

std::vector<record::CheckResult> ShownMargins::news() {
    auto now = nearest();
    const auto before = std::exchange(said_, now);
    std::erase_if(now, [&](const auto& check) {
        return std::find(before.begin(), before.end(), check) != before.end();
    });
    return now;
}

}  // namespace padtrim::engine
