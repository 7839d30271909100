// Capability of one characteristic, with the distribution model that was used. Pure.
//
// Values as found and as left are of different types: a sample takes no values of the other stage
// and two samples of different stages cannot be merged, so that no index mixes them.
//
//   model     normal where a stated subsample does not speak against it: the misfit of its normal
//             plot is at most `largest_misfit`, or not significant at `risk`
//             percentile where it does, and values are enough; else the flaw of the method
//             normal_untested where only sums were kept
//   Of a histogram the subsample is as many evenly spaced quantiles, and percentiles are its own.
#pragma once

#include <vector>

#include "db/quality/capability_indices.hpp"
#include "db/record/unit_result.hpp"
#include "db/statistics/normality.hpp"

namespace padtrim::quality {

// In the order they came; subgroups as sums, single values where they were kept.
template <record::Stage stage>
struct StageSample {
    std::vector<statistics::Moments> subgroups;
    std::vector<double> values;  // empty: only the sums are known
    void merge(const StageSample& other) {
        subgroups.insert(subgroups.end(), other.subgroups.begin(), other.subgroups.end());
        values.insert(values.end(), other.values.begin(), other.values.end());
    }
};
using AsFoundSample = StageSample<record::Stage::as_found>;
using AsLeftSample = StageSample<record::Stage::as_left>;

enum class Model { normal, percentile, normal_untested };

struct ModelRule {
    std::size_t subsample = 1000;
    double largest_misfit = 0.02;  // of the normal plot's variance; our choice, no source
    double risk = 0.01;
};

struct CapabilityFigures {
    Model model = Model::normal;
    std::optional<statistics::Normality> normality;  // of the subsample
    std::optional<Indices> capability;               // Cp, Cpk; none without subgroups that scatter
    Indices performance;                             // Pp, Ppk
};

template <record::Stage stage>
struct StageCapability {
    CapabilityFigures figures;
};

// The work without the stage. sizes_differ when sums and values are not of equally many.
[[nodiscard]] statistics::Checked<CapabilityFigures> capability_figures(
    std::span<const statistics::Moments> subgroups, std::span<const double> values,
    const SpecLimits& limits, double coverage, const ModelRule& rule);

// Of values that a histogram holds. sizes_differ as above.
[[nodiscard]] statistics::Checked<CapabilityFigures> capability_figures(
    std::span<const statistics::Moments> subgroups, const statistics::Histogram& values,
    const SpecLimits& limits, double coverage, const ModelRule& rule);

template <record::Stage stage>
[[nodiscard]] statistics::Checked<StageCapability<stage>> capability(
    const StageSample<stage>& sample, const SpecLimits& limits, double coverage = 0.95,
    const ModelRule& rule = {}) {
    const auto figures =
        capability_figures(sample.subgroups, sample.values, limits, coverage, rule);
    if (!figures) return figures.error();
    return StageCapability<stage>{*figures};
}

}  // namespace padtrim::quality
