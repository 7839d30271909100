// The 95 % region of gain and offset together: an ellipse, for the two are correlated.
//
//   (e^T C^-1 e) <= 2 F(0.95; 2, degrees),  e = (gain, offset) less the line's
//
// (Johnson and Wichern, Applied Multivariate Statistical Analysis, 5.4, with the effective degrees
// of freedom of the gain.) Pure; counts/pF and counts.
#pragma once

#include "db/record/unit_result.hpp"
#include "db/statistics/flaw.hpp"

namespace padtrim::metrology {

// e^T C^-1 e of a pair of values. Flaws: not_finite, not_positive (a covariance without area).
[[nodiscard]] statistics::Checked<double> joint_distance(const record::ChannelLine& line,
                                                         double gain, double offset);
// Its 95 % limit; 5.99 for many degrees of freedom. Flaw: out_of_domain.
[[nodiscard]] statistics::Checked<double> joint_limit(double degrees);
// False also where one of them has no value.
[[nodiscard]] bool in_joint_region(const record::ChannelLine& line, double gain, double offset);

}  // namespace padtrim::metrology
