#include "station/answers/value_series.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <unordered_map>

#include "station/answers/json.hpp"
#include "station/answers/kilohertz.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/stored_plans.hpp"

namespace padtrim::answers {
namespace {

using PlaceKey = std::tuple<std::string, std::string, std::string, int, int>;

// Many runs at once would hold every value of a year in memory as text.
constexpr std::size_t runs_at_once = 500;

bool wanted(const ledger::CheckValue& value, const ValueWish& wish) {
    return (!wish.key || value.key == *wish.key) && (!wish.step || value.step == *wish.step) &&
           (!wish.channel || value.channel == *wish.channel) &&
           (!wish.frequency || value.frequency == *wish.frequency);
}

std::vector<ledger::RunSummary> first_tries(std::vector<ledger::RunSummary> runs) {
    std::set<record::RunId> seen;
    std::erase_if(runs, [&](const ledger::RunSummary& run) {
        return run.verdict == record::Verdict::no_verdict || !seen.insert(run.unit).second;
    });
    return runs;
}

class Collector {
  public:
    Collector(ValueSeries& series, const ValueWish& wish) : series_(series), wish_(wish) {
        for (std::size_t i = 0; i < series.runs.size(); ++i) places_[series.runs[i].run] = i;
    }
    void add(const ledger::CheckValue& value) {
        if (!wanted(value, wish_)) return;
        const PlaceKey key(value.step, value.check, value.key, value.channel, value.frequency);
        auto& place = by_place_[key];
        if (place.values.empty()) {
            place.place = {value.step,      value.check, value.key,    value.channel,
                           value.frequency, wish_.stage, value.measure};
        } else if (place.low != value.low || place.high != value.high) {
            place.limits_changed = true;
        }
        place.low = value.low;
        place.high = value.high;
        place.values.push_back({places_.at(value.run), value.value, value.standard_uncertainty,
                                value.coverage_factor, value.verdict});
    }
    void finish() {
        for (auto& [key, place] : by_place_) series_.places.push_back(std::move(place));
    }

  private:
    ValueSeries& series_;
    const ValueWish& wish_;
    std::unordered_map<record::RunId, std::size_t> places_;
    std::map<PlaceKey, PlaceSeries> by_place_;
};

bool several_channels(const ledger::CheckPlace& place, const language::PlanPtr& plan) {
    if (place.channel < 0) return false;
    if (!plan || place.key.empty()) return true;
    for (const auto& key : plan->map.keys)
        if (key.name == place.key) return key.channels.size() > 1;
    return true;
}

}  // namespace

std::vector<double> PlaceSeries::numbers() const {
    std::vector<double> list;
    list.reserve(values.size());
    for (const auto& value : values) list.push_back(value.value);
    return list;
}

journal::Stored<std::vector<ledger::RunSummary>> wished_runs(ledger::Reader& reader,
                                                             const ValueWish& wish) {
    auto runs = reader.runs(wish.runs);
    if (!runs) return runs.error();
    if (wish.nest)
        std::erase_if(runs.value(), [&](const auto& run) { return run.nest != *wish.nest; });
    if (wish.tries == WhichTries::first) return first_tries(std::move(runs.value()));
    return runs;
}

journal::Stored<language::PlanPtr> plan_of_newest(ledger::Reader& reader,
                                                  const std::vector<ledger::RunSummary>& runs) {
    if (runs.empty()) return language::PlanPtr();
    return stored_plan(reader, runs.back().plan_hash);
}

journal::Stored<ValueSeries> value_series(ledger::Reader& reader, const ValueWish& wish) {
    ValueSeries series;
    auto runs = wished_runs(reader, wish);
    if (!runs) return runs.error();
    series.runs = std::move(runs.value());
    auto plan = plan_of_newest(reader, series.runs);
    if (!plan) return plan.error();
    series.plan = std::move(plan.value());
    Collector collector(series, wish);
    std::vector<std::string> checks;
    if (wish.check) checks.push_back(*wish.check);
    for (std::size_t begin = 0; begin < series.runs.size(); begin += runs_at_once) {
        std::vector<record::RunId> some;
        for (std::size_t i = begin; i < std::min(begin + runs_at_once, series.runs.size()); ++i)
            some.push_back(series.runs[i].run);
        const auto values = reader.check_values(some, checks, wish.stage);
        if (!values) return values.error();
        for (const auto& value : values.value()) collector.add(value);
    }
    collector.finish();
    return series;
}

boost::json::object members_of(const ledger::CheckPlace& place) {
    return {{"step", text(place.step)},     {"check", text(place.check)},
            {"key", text(place.key)},       {"channel", place.channel},
            {"frequency", place.frequency}, {"stage", record::name_of(place.stage)},
            {"unit", text(place.measure)}};
}

std::string where_of(const ledger::CheckPlace& place, const language::PlanPtr& plan) {
    std::string words = printable(place.key, 40);
    const auto add = [&](const std::string& more) { words += (words.empty() ? "" : ", ") + more; };
    if (several_channels(place, plan)) add("channel " + std::to_string(place.channel));
    const std::string frequency = kilohertz(plan, place.frequency);
    if (!frequency.empty()) add(plan ? frequency + " kHz" : frequency);
    return words.empty() ? "unit" : words;
}

std::string words_of(const ledger::CheckPlace& place, const language::PlanPtr& plan) {
    const std::string where = where_of(place, plan);
    const std::string check = printable(place.check, 40);
    if (where == "unit") return check;
    return check + (place.key.empty() ? ", " : ", key ") + where;
}

}  // namespace padtrim::answers
