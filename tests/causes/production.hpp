// A station with two nests and three check standards, and a line's units, by the virtual bench's
// own physics (its sensor, its electrodes, its units) and the station's own fit of a line; without
// wires and waiting, so that a hundred thousand units take seconds. Seeded.
//
// A panel of two channels, sensed at one frequency. Each state is the mean of 16 scans. What goes
// wrong is set in `wrong` and holds from the next measurement on.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "fixtures/bench/sensor.hpp"
#include "recipes/language/plan.hpp"
#include "station/metrology/channel_line.hpp"

namespace padtrim::causes {

inline constexpr std::uint16_t nests = 2;
inline constexpr std::size_t standards = 3, channels = 2;

// What was injected; 0: nothing. All on the first channel, but for glue and standard.
struct Wrong {
    std::uint16_t step_nest = 1, stray_nest = 1;
    double step = 0.0;      // relative, of reference R4 in that nest
    double stray = 0.0;     // pF
    double glue = 0.0;      // mm more, of product
    double standard = 0.0;  // relative loss of gain of the first check standard
};

struct LineAndTouch {
    double gain = 0.0, offset = 0.0;  // counts/pF, counts
    double touch = 0.0;               // counts, on the channel's own key
};
using Measured = std::vector<LineAndTouch>;  // by channel

[[nodiscard]] language::PlanPtr plan_of_line();

class Production {
  public:
    // With noise 0 it is the same line, read without noise and at its mean temperature.
    Production(language::PlanPtr plan, std::uint64_t seed, double noise = 1.0);

    Wrong wrong;
    [[nodiscard]] Measured standard(std::size_t which, std::uint16_t nest);
    // A fresh unit.
    [[nodiscard]] Measured unit(std::uint16_t nest);
    void begin_at(std::uint32_t number) { next_unit_ = number; }
    // How much a standard's value scatters from check to check.
    [[nodiscard]] LineAndTouch deviation(std::size_t which, std::uint16_t nest,
                                         std::size_t channel) const;

  private:
    using States = std::vector<std::vector<metrology::LinePoint>>;  // by channel
    [[nodiscard]] metrology::LineEstimate line_of(const std::vector<metrology::LinePoint>& states,
                                                  std::uint16_t nest, std::size_t channel) const;
    [[nodiscard]] Measured measure(const bench::UnitTruth& unit, std::uint16_t nest);
    [[nodiscard]] double load(std::uint16_t nest, std::size_t channel, int reference) const;

    language::PlanPtr plan_;
    bench::BenchOptions options_;
    double noise_;
    bench::FixtureTruth fixture_;
    std::vector<std::string> references_;
    std::vector<metrology::Tips> tips_;  // by nest
    std::vector<bench::UnitTruth> standards_;
    std::uint32_t next_unit_ = 1;
    std::uint64_t scans_ = 0;
};

}  // namespace padtrim::causes
