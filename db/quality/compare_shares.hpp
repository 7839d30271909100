// Do shares differ by more than counting explains? Yields of two stations, lots, nests or recipe
// revisions, or of several at once. Pure.
//
// Which test was used is part of the answer:
//   score  Pearson's chi-squared with k - 1 degrees (for two shares the score test with the common
//          share as variance; no continuity correction), where every expected count is 5 or more
//          (common practice, Cochran 1954)
//   exact  Fisher's test for two shares (two-sided: every table no likelier than the one seen),
//          where an expected count is smaller
// Interval of a difference: Newcombe's hybrid of two Wilson intervals, method 10 (Statistics in
// Medicine 17 (1998) 873). Several comparisons of one question: `holm` keeps their joint risk.
//
// Flaws: too_few_points for a share of nothing, or for several shares too small for the score test;
// out_of_domain for a part larger than its whole or a coverage outside (0, 1).
#pragma once

#include <span>
#include <vector>

#include "db/statistics/binomial.hpp"
#include "db/statistics/fisher_exact.hpp"

namespace padtrim::quality {

using statistics::Counted;

enum class ShareTest { score, exact };

// All shares equal (every unit alike included): significance 1.
struct Homogeneity {
    ShareTest test = ShareTest::score;
    double chi_squared = 0.0;  // 0 where the test is exact
    double degrees = 0.0;
    double significance = 1.0;  // probability of so much difference when the shares are alike
};
[[nodiscard]] statistics::Checked<Homogeneity> homogeneity(std::span<const Counted> shares);

struct ShareDifference {
    double value = 0.0;                         // a's share minus b's
    statistics::ProportionInterval difference;  // -1 to 1
    Homogeneity test;
    [[nodiscard]] bool real(double risk) const { return test.significance < risk; }
};
[[nodiscard]] statistics::Checked<ShareDifference> compare_shares(const Counted& a,
                                                                  const Counted& b,
                                                                  double coverage = 0.95);

// Holm's step-down (Scand. J. Statist. 6 (1979) 65): significances to compare with the risk of the
// whole family, in the order given.
[[nodiscard]] statistics::Checked<std::vector<double>> holm(std::span<const double> significances);

}  // namespace padtrim::quality
