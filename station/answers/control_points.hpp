// Values as points of control charts, with limits and signals. Internal to control_answer.cpp;
// pure.
#pragma once

#include "station/answers/control_answer.hpp"

namespace padtrim::answers {

// A value with where and when it comes from.
struct Labelled {
    std::string label;
    record::WallTime at;
    double value = 0.0;
    record::RunId run = 0;
};
struct LabelledShare {
    std::string label;
    record::WallTime at;
    statistics::Counted rejected;
};

// Points to a false alarm, of any chart of values that a wish makes: it hangs on no value.
[[nodiscard]] std::optional<double> run_length_of(const ControlWish& wish);
// Without its run length.
[[nodiscard]] PlaceControl chart_of(const std::vector<Labelled>& values, const ControlWish& wish);
// Of a frozen chart, the values that are asked for, in the order they came: those that it is of
// with its limits, those that came later as a look at it judges them, with what went before.
[[nodiscard]] journal::Stored<PlaceControl> chart_of_frozen(ledger::Reader& reader,
                                                            const record::FrozenChart& chart,
                                                            const ledger::CheckPlace& place,
                                                            const std::vector<Labelled>& shown);
[[nodiscard]] PlaceControl chart_of_shares(const std::vector<LabelledShare>& lots);

}  // namespace padtrim::answers
