// Charts that remember: the exponentially weighted mean (EWMA) and the tabular cumulative sum
// (CUSUM), which see small lasting shifts early (ISO 7870-6 and ISO 7870-4; Montgomery,
// Introduction to Statistical Quality Control, chapter 9). Pure; fed point by point.
//
//   EWMA    z = lambda x + (1 - lambda) z, z0 = centre;
//           limits centre +- width sigma sqrt(lambda / (2 - lambda) (1 - (1 - lambda)^(2 t)))
//   CUSUM   S+ = max(0, S+ + (x - target) / sigma - k), S- = max(0, S- - (x - target) / sigma - k);
//           an alarm where either exceeds h
//
// How often they call a false alarm and how soon they see a shift: db/statistics/run_length.hpp
// (its EWMA has the constant limits, to which these tend). A value that is no number is refused
// (not_finite) and leaves the chart as it was.
#pragma once

#include <cstdint>
#include <optional>

#include "db/statistics/run_length.hpp"

namespace padtrim::quality {

// What a process is when nothing is wrong with it.
struct InControl {
    double centre = 0.0, sigma = 1.0;
};
// nullopt where it is one; not_finite, not_positive.
[[nodiscard]] std::optional<statistics::Flaw> flaw_of(const InControl& process);

struct EwmaPoint {
    double value = 0.0, low = 0.0, high = 0.0;
    [[nodiscard]] bool alarm() const { return value < low || value > high; }
};
class EwmaChart {
  public:
    // out_of_domain for a lambda outside (0, 1] or a width that is not positive; not_positive for
    // the sigma.
    [[nodiscard]] static statistics::Checked<EwmaChart> of(const InControl& process,
                                                           const statistics::EwmaPlan& plan);
    [[nodiscard]] statistics::Checked<EwmaPoint> add(double value);

  private:
    EwmaChart(const InControl& process, const statistics::EwmaPlan& plan)
        : process_(process), plan_(plan), mean_(process.centre) {}
    InControl process_;
    statistics::EwmaPlan plan_;
    double mean_;
    double remaining_ = 1.0;  // (1 - lambda)^t
};

struct CusumPoint {
    double upper = 0.0, lower = 0.0;             // in sigmas
    std::uint64_t upper_run = 0, lower_run = 0;  // points since each left 0: when the shift began
    double h = 0.0;
    [[nodiscard]] bool above() const { return upper > h; }
    [[nodiscard]] bool below() const { return lower > h; }
    [[nodiscard]] bool alarm() const { return above() || below(); }
};
class CusumChart {
  public:
    [[nodiscard]] static statistics::Checked<CusumChart> of(const InControl& process,
                                                            const statistics::CusumPlan& plan);
    [[nodiscard]] statistics::Checked<CusumPoint> add(double value);

  private:
    CusumChart(const InControl& process, const statistics::CusumPlan& plan)
        : process_(process), plan_(plan), last_{plan.head_start, plan.head_start, 0, 0, plan.h} {}
    InControl process_;
    statistics::CusumPlan plan_;
    CusumPoint last_;
};

}  // namespace padtrim::quality
