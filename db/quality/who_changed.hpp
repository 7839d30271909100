// Who changed: the station, one of its nests, a check standard, or the product? Pure.
//
// Given are the changes of one quantity at one place (a channel at a frequency), of each specimen
// in each nest that measured it, in a unit in which a change of the station shows alike on all:
// gain and touch response relative, offset in picofarad. Each possible cause has its own pattern:
//
//               nest 1  nest 2              nest 1  nest 2               nest 1  nest 2
//   standard A    x       x     standard A    x       .      standard A    x       x
//   standard B    x       x     standard B    x       .      standard B    .       .
//   product       x       x     product       x       .      product       .       .
//               the station's              nest 1's                    standard A's
//
// An explanation is a set of at most three causes. It fits where what it leaves over is no more
// than the uncertainties let expect, by Johansen's test for means of unequal and estimated
// variances (Biometrika 67 (1980) 85; with one mean for all it is Welch's of 1951) at `risk`. Told
// are the smallest explanations that fit: one alone is an answer, several are not distinguishable.
// So what all standards share is the station's, though all of them might have aged alike.
//
// One true cause is missed for another with a probability of at most `risk`, for then it must
// itself have been rejected; nothing changed, and something is told, as seldom. Cells are taken as
// independent. With one nest there is no cause of a nest beside the station's.
//
// Flaws: too_few_points below two cells, not_finite, not_positive for an uncertainty, out_of_domain
// for a risk outside (0, 1) or degrees that are not positive.
#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <string>
#include <vector>

#include "db/statistics/flaw.hpp"

namespace padtrim::quality {

struct ChangeCell {
    std::string specimen;  // "": the product
    std::uint16_t nest = 1;
    double value = 0.0, standard = 0.0;
    double degrees = std::numeric_limits<double>::infinity();
};
// Mean of the recent values less that of the baseline, which scatter alike: Student's. One recent
// value is enough. too_few_points without recent values or below three in all, not_positive where
// nothing scatters.
[[nodiscard]] statistics::Checked<ChangeCell> change_cell(std::string specimen, std::uint16_t nest,
                                                          std::span<const double> baseline,
                                                          std::span<const double> recent);

enum class Changed { station, nest, standard, product };
struct ChangeCause {
    Changed what = Changed::station;
    std::uint16_t nest = 0;  // of a nest's
    std::string standard;    // of a standard's
    // The uncertainty allows for weights that are estimated themselves (Meier, Biometrics 9 (1953)
    // 59, with the leverages of the fit), its degrees are Satterthwaite's.
    double size = 0.0, standard_uncertainty = 0.0;
    double degrees = std::numeric_limits<double>::infinity();
    [[nodiscard]] bool same_as(const ChangeCause& other) const {
        return what == other.what && nest == other.nest && standard == other.standard;
    }
};
using Explanation = std::vector<ChangeCause>;

struct WhoChanged {
    double significance = 1.0;  // of anything having changed
    bool changed = false;       // significant at the risk
    std::vector<Explanation> fitting;
    // The only one; null where nothing changed, and where it is not distinguishable.
    [[nodiscard]] const Explanation* told() const {
        return changed && fitting.size() == 1 ? &fitting.front() : nullptr;
    }
};
[[nodiscard]] statistics::Checked<WhoChanged> who_changed(std::span<const ChangeCell> cells,
                                                          double risk = 0.01);

// Sizes of these causes and no others; dependent_columns where the cells cannot tell them apart.
[[nodiscard]] statistics::Checked<Explanation> sizes_of(std::span<const ChangeCell> cells,
                                                        Explanation causes);

}  // namespace padtrim::quality
