// What a step with heights saw of one key: counts on the way down, and the product's reports.
//
// Internal to the room; refers to the observations of the case.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/metrology/approach.hpp"
#include "station/metrology/case.hpp"
#include "station/metrology/surface.hpp"
#include "station/metrology/touch_readings.hpp"

namespace padtrim::metrology {

class HeightLooks {
  public:
    // `thickness`: of the target in front of the finger.
    HeightLooks(const Case& unit, const std::string& step, const language::Key& key,
                Millimetre thickness);

    // Change of the key's most responsive channel at the first frequency against the highest look.
    [[nodiscard]] std::vector<CurvePoint> curve() const;
    // From the highest look to the one nearest `height`, at this frequency.
    [[nodiscard]] std::optional<Measured> change_at(Millimetre height, std::size_t frequency) const;
    // The unit's own surface, found by an approach curve; nominal when there is none.
    [[nodiscard]] std::optional<OperatingDistance> distances(Millimetre surface) const;
    // With the finger on the surface; none when nobody looked.
    [[nodiscard]] std::optional<bool> reported_on_surface() const;
    [[nodiscard]] int channel() const { return channel_; }

  private:
    struct State {
        Millimetre height;
        std::vector<double> mean, variance, memory;  // a series
    };
    [[nodiscard]] double height_of(const record::FingerPose& pose) const;
    void read_states(const std::string& step);
    void read_reports(const std::string& step);
    void choose_channel();

    const Case& unit_;
    const language::Key& key_;
    Millimetre zero_;
    std::vector<State> states_;        // falling
    std::vector<HeightReport> looks_;  // in the order taken
    int channel_ = 0;
    double degrees_ = 0.0;
};

}  // namespace padtrim::metrology
