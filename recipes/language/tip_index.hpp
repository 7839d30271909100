// The fixture's reference steps as a table: reference by nest and channel. Checks look up every tip
// for every step of a recipe; the record's own lists are searched from the front.
// Points into the profile, which outlives it.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "recipes/language/fixture_profile.hpp"

namespace padtrim::language {

// One place where a pin meets an electrode.
struct Tip {
    std::uint16_t nest = 1, channel = 0;
};

class TipIndex {
  public:
    TipIndex(const FixtureProfile& fixture, std::uint16_t channels);

    // In the order of nests, then channels; the tables below follow it.
    [[nodiscard]] const std::vector<Tip>& tips() const { return tips_; }
    // One entry a tip, null where the step is not described; null for a reference that nobody
    // described at all.
    using Row = std::vector<const CharacterisedStep*>;
    [[nodiscard]] const Row* row(const std::string& reference) const;
    [[nodiscard]] const std::vector<const FixturePart*>& parts() const { return parts_; }
    [[nodiscard]] std::vector<std::string_view> references() const;

  private:
    [[nodiscard]] std::size_t place_of(std::uint16_t nest, std::uint16_t channel) const;

    std::uint16_t channels_;
    std::vector<Tip> tips_;
    std::map<std::uint16_t, std::size_t> nests_;
    std::map<std::string, Row> rows_;
    std::vector<const FixturePart*> parts_;
};

}  // namespace padtrim::language
