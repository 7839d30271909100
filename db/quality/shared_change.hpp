// Whose change is it? What check standards share is the station's; what one has alone is its own;
// what the product has beyond the station's is the product's. Pure.
//
//   agree       the changes' weighted mean and Welch's test about it (Biometrika 38 (1951) 330; for
//               endless degrees it is chi-squared); consistent where that is not significant at
//               `risk`. A mean that differs from 0 is then the station's change, if they agree
//               well (consistency 0.1 or more): a mean that one standard pulls is not blamed on it
//   one apart   where they disagree and leaving out one, and only that one, makes the rest agree:
//               that standard has changed; the rest's mean says whether the station has, too
//   otherwise   not distinguishable: two that disagree, more than one apart, or hardly agreeing
//
// Changes are since each standard's own baseline, with independent standard uncertainties (their
// scatter, not what all share) and the degrees of freedom of these. Flaws: too_few_points below two
// standards, not_finite, not_positive for an uncertainty, out_of_domain for a risk outside (0, 1)
// or degrees that are not positive.
#pragma once

#include <limits>
#include <optional>
#include <span>
#include <string>

#include "db/statistics/flaw.hpp"

namespace padtrim::quality {

struct ChangeOf {
    std::string name;
    double value = 0.0, standard = 0.0;
    double degrees = std::numeric_limits<double>::infinity();
};
// Mean of the recent values less that of the baseline, variances of their own, degrees by
// Satterthwaite. Two values or more of each; not_positive where neither scatters.
[[nodiscard]] statistics::Checked<ChangeOf> change_of(std::string name,
                                                      std::span<const double> baseline,
                                                      std::span<const double> recent);

enum class Whose { not_distinguishable, station, standard, station_and_standard };

struct SharedChange {
    Whose whose = Whose::not_distinguishable;
    bool consistent = true;            // all standards agree
    double value = 0.0;                // shared by those that agree
    double standard = 0.0;             // its standard uncertainty
    double degrees = 0.0;              // of that
    double significance = 1.0;         // of the shared change
    double consistency = 1.0;          // probability of so much disagreement by chance
    std::optional<std::string> apart;  // the standard that changed by itself
};
[[nodiscard]] statistics::Checked<SharedChange> shared_change(std::span<const ChangeOf> standards,
                                                              double risk = 0.01);

// A change seen on product, less the station's.
struct ProductChange {
    double value = 0.0, standard = 0.0, degrees = 0.0;
    double significance = 1.0;
    bool distinguishable = false;  // false also where the standards do not agree on the station's
};
[[nodiscard]] statistics::Checked<ProductChange> product_change(const ChangeOf& product,
                                                                const SharedChange& station,
                                                                double risk = 0.01);

}  // namespace padtrim::quality
