// May this station judge this tolerance? Capability of measuring system and process to ISO 22514-7,
// and the type 1 study that begins it. Pure. Factors from memory where so marked.
//
//   type 1 study   one reference, repeated:  Cg = 0.2 T / 6 s, Cgk = (0.1 T - |bias|) / 3 s
//                  (common practice, from memory; share and width are arguments)
//   system         u_MS^2 = u_cal^2 + max(u_repeat, u_resolution)^2 + u_bias^2 + u_linearity^2 +
//   u_rest^2
//                  u_resolution = step / sqrt 12, u_bias = |bias| / sqrt 3
//   process        the repeatability on parts joins the maximum; appraisers, interaction, and what
//                  parts, time and temperature add come on top
//   Q = 2 U / T with U = k u;  smallest tolerance = 2 U / Q_max (15 % system, 30 % process; from
//   memory)
//
// Flaws: too_few_points, not_finite, out_of_domain for a tolerance that is not positive or a
// negative uncertainty, not_positive where nothing scatters.
#pragma once

#include <optional>
#include <span>

#include "db/quality/capability_indices.hpp"

namespace padtrim::quality {

struct Type1Plan {
    double reference = 0.0, tolerance = 0.0;
    double share = 0.2;   // of the tolerance
    double spread = 6.0;  // deviations it has to hold
};
struct Type1Study {
    double mean = 0.0, deviation = 0.0, bias = 0.0;
    double bias_low = 0.0, bias_high = 0.0;  // Student's interval
    double bias_significance = 1.0;          // two-sided
    Index cg, cgk;                           // intervals as of Cp and Cpk
};
// Ten readings or more (50 are common practice).
[[nodiscard]] statistics::Checked<Type1Study> type1_study(std::span<const double> readings,
                                                          const Type1Plan& plan,
                                                          double coverage = 0.95);

// Standard uncertainties, but for bias and resolution.
struct MeasuringSystem {
    double calibration = 0.0, repeatability = 0.0, bias = 0.0;
    double resolution = 0.0;  // smallest step
    double linearity = 0.0, rest = 0.0;
};
struct MeasuringProcess {
    MeasuringSystem system;
    double part_repeatability = 0.0;  // EV of the gauge study
    double appraiser = 0.0, interaction = 0.0;
    double part_form = 0.0, stability = 0.0, temperature = 0.0, rest = 0.0;
};
struct FitForTolerance {
    double standard = 0.0, expanded = 0.0;
    double q = 0.0;  // 1: the whole tolerance
    double smallest_tolerance = 0.0;
    bool fit = false;
};
struct FitRule {
    double coverage_factor = 2.0;
    double largest_q_system = 0.15, largest_q_process = 0.30;
};
[[nodiscard]] statistics::Checked<FitForTolerance> fit_of(const MeasuringSystem& system,
                                                          double tolerance,
                                                          const FitRule& rule = {});
[[nodiscard]] statistics::Checked<FitForTolerance> fit_of(const MeasuringProcess& process,
                                                          double tolerance,
                                                          const FitRule& rule = {});

}  // namespace padtrim::quality
