// What a question can be narrowed to: the names that these records hold, for a face to offer.
#pragma once

#include <string>
#include <vector>

#include "station/answers/json.hpp"
#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

struct QualityChoices {
    struct Lot {
        std::string name;
        bool measure_only = false;
    };
    std::vector<Lot> lots;  // newest first, at most `newest_lots`, without those of shift checks
    std::vector<std::string> stations, products, recipes;  // by name
    std::vector<std::string> checks, keys, steps;          // of the values that answer to the wish
    std::vector<std::uint16_t> nests;
};
inline constexpr std::size_t newest_lots = 200;

[[nodiscard]] journal::Stored<QualityChoices> quality_choices(ledger::Reader& reader,
                                                              const QualityWish& wish);
[[nodiscard]] Json to_json(const QualityChoices& choices);

}  // namespace padtrim::answers
