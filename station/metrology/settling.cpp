#include "station/metrology/settling.hpp"

#include <cmath>
#include <cstddef>

#include "station/metrology/state_means.hpp"

namespace padtrim::metrology {

namespace {

record::Readings part_of(const record::Readings& whole, std::size_t from, std::size_t to) {
    record::Readings part{whole.step, whole.situation, {}};
    const auto at = [&](std::size_t i) {
        return whole.scans.begin() + static_cast<std::ptrdiff_t>(i);
    };
    part.scans.assign(at(from), at(to));
    return part;
}

bool usable(const record::Readings& readings, const std::string& step) {
    const record::Situation& s = readings.situation;
    return readings.step == step && s.reading == record::Reading::raw && s.test_mode &&
           readings.scans.size() >= language::fewest_scans_to_settle;
}

// First and second half of each state, in turn.
std::vector<record::Readings> halves_of(const record::Observations& seen, const std::string& step) {
    std::vector<record::Readings> halves;
    for (const record::Readings& readings : seen.readings) {
        if (!usable(readings, step)) continue;
        const std::size_t all = readings.scans.size();
        halves.push_back(part_of(readings, 0, all / 2));
        halves.push_back(part_of(readings, all / 2, all));
    }
    return halves;
}

}  // namespace

std::vector<std::optional<Measured>> settling_of(const Case& unit, const std::string& step) {
    std::vector<std::optional<Measured>> largest(unit.series());
    const std::vector<record::Readings> halves = halves_of(unit.observations(), step);
    std::vector<StateMean> first, second;
    for (std::size_t at = 0; at + 1 < halves.size(); at += 2) {
        first.push_back(mean_of(halves[at], unit.series()));
        second.push_back(mean_of(halves[at + 1], unit.series()));
        if (first.back().scans == 0 || second.back().scans == 0) return largest;
    }
    const Scatter scatter = scatter_of(second);
    if (!scatter.known()) return largest;
    for (std::size_t i = 0; i < largest.size(); ++i) {
        for (std::size_t at = 0; at < first.size(); ++at) {
            if (!concerns(*first[at].situation, i / unit.frequencies())) continue;
            const double change = std::abs(second[at].series[i].mean - first[at].series[i].mean);
            if (largest[i] && change < largest[i]->value) continue;
            const double variance = scatter.of_mean(first[at], at, i) +
                                    scatter.of_mean(second[at], at, i) + 2.0 * scatter.rounding[i];
            largest[i] = Measured{change, std::sqrt(variance), scatter.degrees};
        }
    }
    return largest;
}

}  // namespace padtrim::metrology
