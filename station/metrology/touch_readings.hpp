// The readings of a touch step: each key touched against the same key before, finger lifted.
//
// Internal to the room; pure. Refers to the case's observations. Changes
// are positive towards a touch, whichever way it moves the counts.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "station/metrology/case.hpp"
#include "station/metrology/conformity.hpp"
#include "station/metrology/parts.hpp"
#include "station/metrology/state_means.hpp"

namespace padtrim::metrology {

// Of what a touch does to the counts: an electrode of positive gain reads more, a mutual node less.
[[nodiscard]] double touch_sign(const language::RegisterMap& map);

// One key as it was touched: indices into the step's states.
struct Press {
    const language::Key* key = nullptr;
    std::size_t touched = 0, lifted = 0;
};

class TouchReadings {
  public:
    TouchReadings(const Case& unit, const std::string& step);

    [[nodiscard]] bool known() const { return scatter_.known(); }
    [[nodiscard]] std::optional<Press> press_of(const language::Key& key) const;
    // Mean change of one series, counts, with its standard uncertainty by scatter, rounding and the
    // filter's memory; infinite where a state is too short to have a memory taken out.
    [[nodiscard]] Measured change(const Press& press, std::size_t series) const;
    // The same term by term.
    [[nodiscard]] Budget budget(const Press& press, std::size_t series) const;
    // The same from only the first so many scans of the touch.
    [[nodiscard]] Measured change_after(const Press& press, std::size_t series,
                                        std::size_t scans) const;
    [[nodiscard]] std::size_t scans_touched(const Press& press) const {
        return states_[press.touched].readings->scans.size();
    }
    // The key's channel that moves most.
    [[nodiscard]] std::uint16_t strongest(const Press& press, std::size_t frequency) const;
    // Peak-to-peak of the noisier state, or of the lifted one where touching ended early; quiet
    // counts still have the width of one.
    [[nodiscard]] double peak_to_peak(const Press& press, std::size_t series) const;
    // That it was seen over.
    [[nodiscard]] std::size_t scans(const Press& press) const;
    [[nodiscard]] bool ended_early(const Press& press) const {
        return states_[press.touched].scans < states_[press.lifted].scans;
    }

  private:
    // With the finger above this key, or else above anything.
    [[nodiscard]] std::optional<std::size_t> lifted_before(std::size_t touched,
                                                           const std::string& key) const;
    struct Doubt {
        double scatter = 0.0, degrees = 0.0;  // variance of a state's mean, and what it rests on
        double rounding = 0.0;
    };
    [[nodiscard]] Doubt doubt_touched(const StateMean& state, std::size_t series) const;
    [[nodiscard]] Doubt doubt_pooled(std::size_t series, std::size_t scans, double inflation) const;
    [[nodiscard]] bool remembers(const StateMean& state) const;
    struct Change {
        double value = 0.0;
        std::array<Part, 5> parts;
    };
    [[nodiscard]] Change change_of(const StateMean& touched, const Press& press,
                                   std::size_t series) const;
    [[nodiscard]] Measured measured(const Change& change) const;

    const Case& unit_;
    std::vector<StateMean> states_;
    Scatter scatter_;
    double sign_;
    double memory_ = 0.0;  // of the unit's filter, where states were long enough to tell
};

}  // namespace padtrim::metrology
