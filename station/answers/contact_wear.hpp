// How worn the contacts of a fixture are: what each coil switches, how often it did, and how much
// of its rated life that is. Pure, but for asking the ledger.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

// Maintenance is told from this share of a rated life on.
inline constexpr double worn_share = 0.9;

struct WornContact {
    std::uint16_t coil = 0;
    std::string use;    // "R2 on nest 1, channel 3", "the pins of nest 1"
    bool pins = false;  // of a nest: touches count, against their own rated life
    std::uint64_t operations = 0;
    std::optional<double> share;  // of the relay's rated life
    std::optional<double> pin_share;
    std::optional<record::WallTime> replaced;
    std::string who, why;
    [[nodiscard]] bool worn() const {
        return share.value_or(0.0) >= worn_share || pin_share.value_or(0.0) >= worn_share;
    }
};

struct WearAnswer {
    std::string fixture, station;
    std::optional<std::uint64_t> relay_life, pin_life;
    std::vector<WornContact> contacts;  // every coil that the profile uses, most worn first
    std::vector<std::string> warnings;  // a sentence for each worn one
};

[[nodiscard]] WearAnswer wear_of(const language::FixtureProfile& fixture,
                                 const std::vector<record::ContactStanding>& standing);
[[nodiscard]] journal::Stored<WearAnswer> wear_in(ledger::Reader& reader,
                                                  const language::FixtureProfile& fixture,
                                                  const std::string& station);
[[nodiscard]] Json to_json(const WearAnswer& wear);

}  // namespace padtrim::answers
