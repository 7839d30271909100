#include "db/quality/pareto.hpp"

#include <algorithm>
#include <map>

namespace padtrim::quality {

statistics::Checked<std::vector<ParetoRow>> pareto(std::span<const NamedCount> counts) {
    std::map<std::string, std::uint64_t> by_name;
    std::uint64_t all = 0;
    for (const NamedCount& each : counts) {
        if (each.count == 0) continue;
        by_name[each.name] += each.count;
        all += each.count;
    }
    if (all == 0) return statistics::Flaw::too_few_points;
    std::vector<ParetoRow> rows;
    for (const auto& [name, count] : by_name) rows.push_back({name, count, 0.0, 0.0});
    std::stable_sort(rows.begin(), rows.end(),
                     [](const auto& a, const auto& b) { return a.count > b.count; });
    std::uint64_t running = 0;
    for (ParetoRow& row : rows) {
        running += row.count;
        row.share = static_cast<double>(row.count) / static_cast<double>(all);
        row.running = static_cast<double>(running) / static_cast<double>(all);
    }
    return rows;
}

std::size_t vital_few(std::span<const ParetoRow> rows, double share) {
    const auto enough = std::find_if(
        rows.begin(), rows.end(), [share](const ParetoRow& row) { return row.running >= share; });
    const auto above = static_cast<std::size_t>(enough - rows.begin());
    return enough == rows.end() ? rows.size() : above + 1;
}

}  // namespace padtrim::quality
