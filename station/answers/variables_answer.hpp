// Is a lot accepted by the values of one check? Sampling by variables, s method (ISO 3951-1, from
// memory; db/quality/sampling.hpp): each key, channel and frequency by itself, and each of its two
// limits by itself. The lot is accepted when all are. First tries; the newest limits.
//
// The method takes values for normal, and a place with fewer values than the plan asks for is not
// judged: then the lot is not accepted either.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/quality/sampling.hpp"
#include "db/statistics/variables_plan.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct VariablesWish {
    ValueWish values;  // of one check of one lot
    statistics::VariablesPlan plan;
    std::optional<statistics::RiskPoints> risks;  // that the plan is made from
};
struct VariablesPlace {
    ledger::CheckPlace place;
    std::size_t values = 0;
    std::optional<double> low, high;
    std::optional<quality::SMethodResult> result;
    std::string problem;  // why there is none
};
struct VariablesAnswer {
    VariablesWish wish;
    language::PlanPtr plan;
    std::vector<VariablesPlace> places;  // not accepted first
    [[nodiscard]] bool accepted() const;
};

[[nodiscard]] journal::Stored<VariablesAnswer> variables_answer(ledger::Reader& reader,
                                                                const VariablesWish& wish);
[[nodiscard]] Json to_json(const VariablesAnswer& answer);
[[nodiscard]] Sheet sheet_of(const VariablesAnswer& answer);

}  // namespace padtrim::answers
