// Propagation of distributions by Monte Carlo (JCGM 101), as a check on the law of propagation.
//
// Pure and repeatable: the generator (xoshiro256++, Blackman and Vigna 2019) is seeded by the
// caller. Costs one call of the model a trial.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "db/statistics/flaw.hpp"
#include "station/metrology/budget.hpp"
#include "station/metrology/channel_line.hpp"

namespace padtrim::metrology {

class TrialRandom {
  public:
    explicit TrialRandom(std::uint64_t seed);
    [[nodiscard]] double uniform();  // in (0, 1)
    [[nodiscard]] double normal();
    [[nodiscard]] double student(double degrees);  // scaled and shifted as JCGM 101 6.4.9 says

  private:
    [[nodiscard]] std::uint64_t next();
    std::uint64_t state_[4];
    double spare_ = 0.0;
    bool have_spare_ = false;
};

// value +- scale: the standard deviation for normal, s/sqrt(n) for student, else the half-width.
struct InputDistribution {
    InputShape shape = InputShape::normal;
    double value = 0.0, scale = 0.0;
    double degrees = 0.0;  // student only
};

struct MonteCarloResult {
    double mean = 0.0, standard = 0.0;
    double low = 0.0, high = 0.0;  // probabilistically symmetric interval
    double shortest_low = 0.0, shortest_high = 0.0;
    double low_doubt = 0.0, high_doubt = 0.0;  // of low and high by chance, half-widths at 95 %
    std::size_t trials = 0;
};
// Interval of `coverage`. 1000 trials or more; JCGM 101 7.2 advises 10^6 for two digits.
[[nodiscard]] statistics::Checked<MonteCarloResult> propagate(
    const std::function<double(std::span<const double>)>& model,
    std::span<const InputDistribution> inputs, std::size_t trials, double coverage,
    std::uint64_t seed);
// The same from values that a caller drew.
[[nodiscard]] statistics::Checked<MonteCarloResult> summarised(std::vector<double> values,
                                                               double coverage);

// Whether the interval of the law of propagation, value +- expanded, holds against one by trials
// (JCGM 101 clause 8). The numerical tolerance delta is half a unit of the standard uncertainty's
// second significant digit; it agrees when neither end is off by more. The ends by trials are known
// to `doubt` only (95 %, from order statistics): where that leaves both answers open the trials are
// too few. Flaws: not_finite, not_positive (no uncertainty).
enum class Agreement { agrees, differs, too_few_trials };
struct GumCheck {
    double delta = 0.0;
    double low_off = 0.0, high_off = 0.0;  // d_low and d_high of clause 8.1.3
    double doubt = 0.0;                    // of the worse known end
    Agreement agreement = Agreement::agrees;
};
[[nodiscard]] statistics::Checked<GumCheck> compare(double value, const CombinedUncertainty& stated,
                                                    const MonteCarloResult& trials);

// Gain and offset of a fitted line by Monte Carlo: every state, reference, meter, temperature and
// fixture part is redrawn within its uncertainty, by its own distribution, and the line fitted
// anew.
struct LineTrials {
    MonteCarloResult gain, offset;
};
[[nodiscard]] statistics::Checked<LineTrials> line_trials(const LineInput& input,
                                                          std::size_t trials, std::uint64_t seed);

}  // namespace padtrim::metrology
