#include "station/metrology/nearest_checks.hpp"

#include <algorithm>
#include <iterator>

namespace padtrim::metrology {
namespace {

using record::CheckResult;
using record::Verdict;

bool is_condition(const CheckResult& check) {
    return check.expanded_uncertainty <= 0.0;
}

int rank(Verdict verdict) {
    switch (verdict) {
        case Verdict::fail:
            return 0;
        case Verdict::no_verdict:
            return 1;
        case Verdict::inconclusive:
            return 2;
        case Verdict::pass:
            break;
    }
    return 3;
}

bool says_more(const CheckResult& check, const CheckResult& than) {
    if (rank(check.verdict) != rank(than.verdict)) return rank(check.verdict) < rank(than.verdict);
    if (is_condition(check) != is_condition(than)) return is_condition(than);
    return check.margin < than.margin;
}

}  // namespace

std::vector<CheckResult> nearest_checks(const std::vector<CheckResult>& checks) {
    std::vector<CheckResult> nearest;
    for (const auto& check : checks) {
        if (check.key.empty()) continue;
        if (check.verdict == Verdict::pass && is_condition(check)) continue;
        const auto at = std::find_if(nearest.begin(), nearest.end(),
                                     [&](const auto& known) { return known.key == check.key; });
        if (at == nearest.end())
            nearest.push_back(check);
        else if (says_more(check, *at))
            *at = check;
    }
    return nearest;
}

std::vector<CheckResult> checks_at_key(const std::vector<CheckResult>& checks,
                                       const std::string& key) {
    std::vector<CheckResult> at_key;
    std::copy_if(checks.begin(), checks.end(), std::back_inserter(at_key),
                 [&](const auto& check) { return check.key == key; });
    return at_key;
}

}  // namespace padtrim::metrology
