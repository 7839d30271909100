#include "db/quality/chart_points.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "db/statistics/individuals.hpp"

namespace padtrim::quality {

namespace {

using record::ChartPlace;
using record::ChartPoint;
using record::ChartState;

// Places that are measured alike and share a sigma.
using Group = std::tuple<std::string, std::uint16_t, std::string, std::string>;
Group group_of(const ChartPlace& place) {
    return {place.serial, place.nest, place.step, place.check};
}

struct Pool {
    double sum = 0.0;  // of the charts' sigmas
    std::size_t charts = 0;
    double stated = 0.0;  // largest standard uncertainty of the values now
    // Values that are coarser than their scatter stand still; then what they state is all that is
    // known.
    [[nodiscard]] double sigma() const {
        return sum > 0.0 ? sum / static_cast<double>(charts) : stated;
    }
};

const language::ChartLimit* stated_for(const language::CheckStandard& standard,
                                       const ChartPlace& place) {
    for (auto limit = standard.limits.rbegin(); limit != standard.limits.rend(); ++limit) {
        const bool here = limit->keys.empty() ||
                          std::count(limit->keys.begin(), limit->keys.end(), place.key) > 0;
        if (limit->check == place.check && here) return &*limit;
    }
    return nullptr;
}

class Charting {
  public:
    Charting(const language::ShiftCheck& rule, const ChartHistory& history)
        : rule_(rule), history_(history) {}

    void add(const MeasuredStandard& unit) {
        const language::CheckStandard* standard = rule_.standard(unit.serial);
        if (standard == nullptr) return;
        for (const record::CheckResult& check : unit.result.checks) {
            const auto& names = standard->checks;
            if (check.stage != record::Stage::as_found || !std::isfinite(check.value) ||
                std::count(names.begin(), names.end(), check.check) == 0)
                continue;
            ChartPoint point;
            point.place = {unit.serial, unit.nest,     check.step,     check.check,
                           check.key,   check.channel, check.frequency};
            point.value = check.value;
            point.unit = check.unit;
            if (const auto* limit = stated_for(*standard, point.place)) state(point, *limit);
            all_.points.push_back(std::move(point));
            stated_.push_back(check.standard_uncertainty);
        }
    }

    Charted take() {
        all_.learned = rule_.baseline;
        pool();
        for (ChartPoint& point : all_.points)
            if (!point.low && !point.high) look_up(point);
        return std::move(all_);
    }

  private:
    static void state(ChartPoint& point, const language::ChartLimit& limit) {
        point.low = limit.low;
        point.high = limit.high;
        const double low = limit.low.value_or(-INFINITY), high = limit.high.value_or(INFINITY);
        point.centre =
            limit.low && limit.high ? (low + high) / 2.0 : std::min(high, std::max(low, 0.0));
        point.state =
            point.value < low || point.value > high ? ChartState::beyond : ChartState::within;
    }

    // The baseline of a learnt chart; null while it learns.
    [[nodiscard]] const std::vector<double>* baseline(const ChartPlace& place) const {
        const auto known = history_.find(place);
        if (known == history_.end() || known->second.size() < rule_.baseline) return nullptr;
        return &known->second;
    }

    void pool() {
        for (const ChartPoint& point : all_.points) {
            const auto* values = baseline(point.place);
            if (point.low || point.high || values == nullptr) continue;
            const auto chart = statistics::individuals_chart({values->data(), rule_.baseline});
            if (!chart) continue;
            Pool& pool = pools_[group_of(point.place)];
            pool.sum += chart->sigma;
            ++pool.charts;
            ++deciding_;
            pool.stated = std::max(pool.stated,
                                   stated_[static_cast<std::size_t>(&point - all_.points.data())]);
        }
    }

    void look_up(ChartPoint& point) {
        const auto* values = baseline(point.place);
        if (values == nullptr) {
            const auto known = history_.find(point.place);
            const std::size_t so_far = known == history_.end() ? 0 : known->second.size();
            all_.learned = std::min(all_.learned, static_cast<unsigned>(so_far));
            return;
        }
        const Pool& pool = pools_.at(group_of(point.place));
        point.sigma = pool.sigma();
        if (!(point.sigma > 0.0)) return note_still(point);
        point.centre = statistics::individuals_chart({values->data(), rule_.baseline})->centre;
        const double degrees =
            *statistics::moving_range_degrees(rule_.baseline) * static_cast<double>(pool.charts);
        const double width =
            point.sigma * *statistics::joint_factor(deciding_, rule_.baseline, degrees);
        point.low = point.centre - width;
        point.high = point.centre + width;
        const bool beyond = point.value < *point.low || point.value > *point.high;
        point.state = beyond ? ChartState::beyond : ChartState::within;
    }

    void note_still(const ChartPoint& point) {
        const std::string name = point.place.check + " of " + point.place.serial;
        if (std::count(all_.still.begin(), all_.still.end(), name) == 0) all_.still.push_back(name);
    }

    const language::ShiftCheck& rule_;
    const ChartHistory& history_;
    std::vector<double> stated_;  // standard uncertainty of each point
    std::map<Group, Pool> pools_;
    std::size_t deciding_ = 0;
    Charted all_;
};

}  // namespace

Charted charted(const language::ShiftCheck& rule, const std::vector<MeasuredStandard>& measured,
                const ChartHistory& history) {
    Charting charting(rule, history);
    for (const MeasuredStandard& unit : measured) charting.add(unit);
    return charting.take();
}

}  // namespace padtrim::quality
