// Stopping early: readings of one value go on until a limit's decision is certain at the stated
// risk, or the plan's samples are used up.
//
// Looks are taken at equal steps of effective readings; at each the distance of the mean from the
// nearest limit, in its standard uncertainty, is compared with a group-sequential boundary. The
// boundary on each side spends `risk`: a value on or beyond the limit is called inside with at most
// that probability over all looks together, and the other way round. Correlated readings count by
// their effective number. Pure. What no look decided is undetermined: the samples do not suffice.
#pragma once

#include <cstddef>
#include <vector>

#include "db/statistics/flaw.hpp"
#include "db/statistics/sequential.hpp"
#include "station/metrology/conformity.hpp"

namespace padtrim::metrology {

enum class LimitDecision { undetermined, inside, outside };

struct SequentialPlan {
    statistics::BoundaryShape shape = statistics::BoundaryShape::pocock;
    std::size_t looks = 5;
    std::size_t readings_a_look = 16;
    double risk = 0.025;  // of each wrong decision
    [[nodiscard]] std::size_t most_readings() const { return looks * readings_a_look; }
};

class SequentialLimit {
  public:
    // `deviation`: of one reading, known beforehand (the noise step). `correlation`: lag one.
    [[nodiscard]] static statistics::Checked<SequentialLimit> of(const SequentialPlan& plan,
                                                                 const Limits& limits,
                                                                 double deviation,
                                                                 double correlation = 0.0);
    // After so many readings with this mean; before a look is complete, and beyond the
    // plan's last one, nothing is decided.
    [[nodiscard]] LimitDecision after(std::size_t readings, double mean) const;
    // Looks expected when the true value lies `inside` the limit (negative: outside), in readings.
    [[nodiscard]] statistics::Checked<double> expected_readings(double inside) const;
    [[nodiscard]] const std::vector<double>& boundaries() const { return boundaries_; }

  private:
    SequentialLimit(const SequentialPlan& plan, const Limits& limits, double deviation,
                    double correlation, std::vector<double> boundaries);
    [[nodiscard]] double deviation_of_mean(std::size_t readings) const;
    SequentialPlan plan_;
    Limits limits_;
    double deviation_ = 1.0, correlation_ = 0.0;
    std::vector<double> boundaries_;
};

}  // namespace padtrim::metrology
