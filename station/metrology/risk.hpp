// Risks of a decision over a whole process (JCGM 106 clause 9): what part of all units is bad and
// accepted, what part is good and rejected.
//
// Pure. The process is a density over true values, the measurement a normal error. Integrals by
// adaptive Gauss-Kronrod quadrature; relative error below 1e-9 for smooth densities.
#pragma once

#include <functional>

#include "db/statistics/flaw.hpp"
#include "station/metrology/conformity.hpp"

namespace padtrim::metrology {

struct Process {
    std::function<double(double)> density;  // of true values
    double low = 0.0, high = 0.0;           // beyond these nothing is
};
[[nodiscard]] Process normal_process(double mean, double deviation);
[[nodiscard]] Process gamma_process(double shape, double rate);

struct GlobalRisk {
    double consumer = 0.0;       // nonconforming and accepted
    double producer = 0.0;       // conforming and rejected
    double nonconforming = 0.0;  // without any inspection
};
// tolerance: what is allowed; acceptance: what a measured value is compared with.
[[nodiscard]] statistics::Checked<GlobalRisk> global_risk(const Process& process,
                                                          double measurement_deviation,
                                                          const Limits& tolerance,
                                                          const Limits& acceptance);

// Guard band, the same at each limit, for which the global consumer's risk is `risk`; 0 when
// simple acceptance already holds it. no_convergence when no band within the tolerance does.
[[nodiscard]] statistics::Checked<double> guard_band_for(const Process& process,
                                                         double measurement_deviation,
                                                         const Limits& tolerance, double risk,
                                                         const Limits& natural = {});

// Acceptance limits: the tolerance drawn in by w at each limit. Flaws: empty_interval when they
// cross, not_positive for a negative w, not_finite.
[[nodiscard]] statistics::Checked<Limits> guarded_limits(const Limits& tolerance, double w);

}  // namespace padtrim::metrology
