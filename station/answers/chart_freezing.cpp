#include "station/answers/chart_freezing.hpp"

#include <algorithm>

#include "station/answers/figures.hpp"
#include "station/answers/frozen_charts.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

std::string in_the_way(const QualityWords& of, const ControlWish& wish,
                       const ControlAnswer& charts) {
    if (of.nest || of.station || of.fixture)
        return "A frozen chart is of every station, fixture and nest that runs the recipe. Leave "
               "nest, station and fixture out.";
    if (charts.several_revisions)
        return "These units ran on several revisions, and a chart is frozen with one. Name it with "
               "recipe and revision, or name a lot.";
    if (charts.by_day)
        return "Of so many units each point is the mean of a day. Name a lot, or a span with since "
               "and until, whose units' limits are to be kept.";
    if (wish.kind == ControlKind::share)
        return "A chart of shares cannot be frozen: its limits go with the size of each lot.";
    return "";
}

bool at_one_place(const record::FrozenChart& a, const record::FrozenChart& b) {
    return a.recipe == b.recipe && a.recipe_revision == b.recipe_revision && a.step == b.step &&
           a.check == b.check && a.key == b.key && a.channel == b.channel &&
           a.frequency == b.frequency && a.stage == b.stage;
}

}  // namespace

Freezing freezing_of(const QualityWords& of, const ControlWish& wish, const ControlAnswer& charts,
                     const std::string& who, const std::string& why, record::WallTime at) {
    Freezing freezing{in_the_way(of, wish, charts), {}};
    if (!freezing.wrong.empty()) return freezing;
    freezing.charts = charts_to_freeze(charts, wish, who, why, at);
    if (freezing.charts.empty())
        freezing.wrong = "No chart has limits that could be frozen: the charts themselves say why.";
    return freezing;
}

std::string frozen_sentence(const std::vector<record::FrozenChart>& charts) {
    if (charts.empty()) return "No chart frozen.";
    return counted(charts.size(), "chart") + " frozen for recipe " +
           printable(charts.front().recipe, 60) + ", revision " +
           printable(charts.front().recipe_revision, 40) + ".";
}

std::vector<std::int64_t> in_force_at(const std::vector<ledger::KeptChart>& charts,
                                      const std::vector<record::FrozenChart>& of) {
    std::vector<std::int64_t> numbers;
    for (const auto& place : of) {
        const auto kept = std::find_if(charts.begin(), charts.end(), [&](const auto& one) {
            return at_one_place(one.chart, place);
        });
        if (kept != charts.end()) numbers.push_back(kept->chart.id);
    }
    return numbers;
}

}  // namespace padtrim::answers
