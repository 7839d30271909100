// Do two stations measure alike? Units that both have measured, each by the mean of its readings:
// mean difference and limits of agreement (db/quality/agreement.hpp), of each check and key.
//
// From lots that only measured, every run, as in the other gauge studies. Units that one of the two
// alone has measured are left out, and counted.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/quality/agreement.hpp"
#include "db/statistics/moments.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct AgreementWish {
    ValueWish values;
    std::string a, b;                 // stations
    std::optional<double> allowance;  // in the check's unit: alike within so much
};
struct MeasuredTwice {
    std::string unit;
    double a = 0.0, b = 0.0;
};
struct AgreementPlace {
    ledger::CheckPlace place;
    std::vector<MeasuredTwice> pairs;  // in the order they were first measured
    std::size_t left_out = 0;          // units
    std::optional<quality::Agreement> agreement;
    std::optional<statistics::Flaw> flaw;
    [[nodiscard]] bool differ() const;  // by more than chance, at 1 %: in mean, or with the size
};
struct AgreementAnswer {
    AgreementWish wish;
    language::PlanPtr plan;
    std::vector<AgreementPlace> places;  // the surest difference first
};

[[nodiscard]] journal::Stored<AgreementAnswer> agreement_answer(ledger::Reader& reader,
                                                                const AgreementWish& wish);
[[nodiscard]] Json to_json(const AgreementAnswer& answer);
// With the differences of the first place as a chart over the size of what was measured.
[[nodiscard]] Sheet sheet_of(const AgreementAnswer& answer);

}  // namespace padtrim::answers
