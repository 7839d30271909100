// How far readings are off over the measuring range, and whether that stays so: bias of every
// reading of units with reference values, as a straight line over the reference
// (db/quality/agreement.hpp), of one check on each of its keys.
//
// Stability is whether the bias that the line leaves differs between lots by more than the readings
// of a lot scatter (one-way analysis of variance): measure the same references again in lots of
// other days. Each key and frequency has its own line. From lots that only measured, every run.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/quality/agreement.hpp"
#include "db/statistics/anova.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/reference_values.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct BiasWish {
    ValueWish values;  // of one check
    ReferenceValues references;
};
struct ReferenceReading {
    std::string unit, lot;
    record::WallTime at;
    double reference = 0.0, reading = 0.0;
};
struct BiasPlace {
    ledger::CheckPlace place;
    std::vector<ReferenceReading> readings;  // in the order they were made
    std::optional<quality::BiasOverRange> bias;
    std::optional<statistics::OneWayAnova> between_lots;  // none below two lots
    double between_lots_deviation = 0.0;                  // 0 where lots are alike
    std::optional<statistics::Flaw> flaw;
};
struct BiasAnswer {
    language::PlanPtr plan;
    std::size_t references = 0;     // values that were told
    std::vector<BiasPlace> places;  // the largest bias first
};

[[nodiscard]] journal::Stored<BiasAnswer> bias_answer(ledger::Reader& reader, const BiasWish& wish);
// Internal, and for tests: line and stability of readings.
[[nodiscard]] BiasPlace bias_of(const ledger::CheckPlace& place,
                                std::vector<ReferenceReading> readings);
[[nodiscard]] Json to_json(const BiasAnswer& answer);
// With the biases of the first place as a chart.
[[nodiscard]] Sheet sheet_of(const BiasAnswer& answer);

}  // namespace padtrim::answers
