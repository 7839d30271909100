#include "db/quality/rolled_yield.hpp"

#include <cmath>

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

Checked<RolledYield> rolled_yield(std::span<const Counted> steps, double coverage) {
    if (steps.empty()) return Flaw::too_few_points;
    if (!(coverage > 0.0 && coverage < 1.0)) return Flaw::out_of_domain;
    const double count = static_cast<double>(steps.size());
    RolledYield rolled;
    rolled.interval = {1.0, 1.0};
    for (const Counted& step : steps) {
        const auto limits = statistics::clopper_pearson_interval(step.part, step.whole,
                                                                 1.0 - (1.0 - coverage) / count);
        if (!limits) return limits.error();
        rolled.value *= static_cast<double>(step.part) / static_cast<double>(step.whole);
        rolled.interval.low *= limits->low;
        rolled.interval.high *= limits->high;
    }
    rolled.normalised = std::pow(rolled.value, 1.0 / count);
    rolled.defects_per_unit = rolled.value < 1.0 ? -std::log(rolled.value) : 0.0;
    return rolled;
}

namespace {

Counted without(const Counted& all, const Counted& one) {
    return {all.part - one.part, all.whole - one.whole};
}

}  // namespace

Checked<std::vector<Recovery>> recoveries(std::span<const RejectedFirst> groups, double coverage) {
    Counted all;
    for (const RejectedFirst& group : groups) {
        all.part += group.recovered.part;
        all.whole += group.recovered.whole;
    }
    std::vector<Recovery> result;
    std::vector<double> significances;
    for (const auto& [name, counted] : groups) {
        if (counted.part > counted.whole) return Flaw::out_of_domain;
        if (counted.whole == 0) continue;
        const auto share = share_of(counted, coverage);
        if (!share) return share.error();
        Recovery recovery{name, *share, 0.0, 1.0};
        const Counted others = without(all, counted);
        if (others.whole > 0) {
            const auto compared = compare_shares(counted, others, coverage);
            if (!compared) return compared.error();
            recovery.rest = recovery.share.value - compared->value;
            recovery.significance = compared->test.significance;
        }
        significances.push_back(recovery.significance);
        result.push_back(std::move(recovery));
    }
    if (result.empty()) return result;
    const auto adjusted = holm(significances);
    for (std::size_t i = 0; i < result.size(); ++i) result[i].significance = (*adjusted)[i];
    return result;
}

}  // namespace padtrim::quality
