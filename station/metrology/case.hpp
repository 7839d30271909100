// What every step of judging needs: the three inputs of judge(), prepared once.
//
// Lives for one call of judge(); refers to its arguments.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "db/record/observations.hpp"
#include "db/record/unit_result.hpp"
#include "recipes/language/plan.hpp"
#include "station/metrology/conformity.hpp"
#include "station/metrology/tips.hpp"

namespace padtrim::metrology {

class Case {
  public:
    Case(const language::Plan& plan, const language::EquipmentRecord& references,
         const record::Observations& observations);

    [[nodiscard]] const language::Plan& plan() const { return plan_; }
    [[nodiscard]] const language::RegisterMap& map() const { return plan_.map; }
    [[nodiscard]] const record::Observations& observations() const { return observations_; }
    [[nodiscard]] const Tips& tips() const { return tips_; }
    [[nodiscard]] std::size_t channels() const { return plan_.map.channels; }
    [[nodiscard]] std::size_t frequencies() const { return frequencies_; }
    [[nodiscard]] std::size_t series() const { return channels() * frequencies_; }
    [[nodiscard]] std::size_t series_of(std::size_t channel, std::size_t frequency) const {
        return channel * frequencies_ + frequency;
    }
    // Name of the key that a channel belongs to, "" when none.
    [[nodiscard]] const std::string& key_of(std::size_t channel) const;
    // "key 8", or "channel 3" for a channel without a key: as sentences say it.
    [[nodiscard]] std::string place_of(std::size_t channel) const;
    [[nodiscard]] std::string place_of_key(const std::string& key) const;
    [[nodiscard]] const language::Key* key_named(const std::string& name) const;
    [[nodiscard]] bool done(const std::string& step) const;
    [[nodiscard]] bool written() const;  // trims went into the unit
    // The limits of a check at a place: those of the step, or of the last exception that fits.
    [[nodiscard]] Limits limits_at(const std::string& step, std::string_view check,
                                   const std::string& key, int channel, const Limits& all) const;

    // k of the 95 % expanded uncertainty; remembers the last few asked for.
    [[nodiscard]] double coverage_factor(double degrees) const;

  private:
    const language::Plan& plan_;
    const record::Observations& observations_;
    std::size_t frequencies_;
    Tips tips_;
    std::vector<std::string> key_of_channel_;
    std::vector<const language::Step*> excepting_;  // steps with exceptions from their limits
    struct Factor {
        double degrees = 0.0, factor = 0.0;
    };
    mutable std::array<Factor, 4> factors_{};
    mutable std::size_t next_factor_ = 0;
};

}  // namespace padtrim::metrology
