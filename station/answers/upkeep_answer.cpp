#include "station/answers/upkeep_answer.hpp"

#include <algorithm>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using UpkeepObject = boost::json::object;

DowntimeTotal& total_of(std::vector<DowntimeTotal>& totals, const std::string& reason) {
    for (auto& total : totals)
        if (total.reason == reason) return total;
    totals.push_back({reason, 0, {}});
    return totals.back();
}

}  // namespace

DowntimeAnswer downtime_answer(std::vector<record::Downtime> downtimes,
                               const std::optional<record::WallTime>& since,
                               const std::optional<record::WallTime>& until, record::WallTime now) {
    DowntimeAnswer answer;
    for (const auto& down : downtimes) {
        auto& total = total_of(answer.totals, down.reason);
        const auto begin = since ? std::max(*since, down.began) : down.began;
        auto end = down.ended.value_or(now);
        if (until) end = std::min(end, *until);
        ++total.times;
        if (end > begin) total.lasted += end - begin;
    }
    std::stable_sort(answer.totals.begin(), answer.totals.end(),
                     [](const auto& a, const auto& b) { return a.lasted > b.lasted; });
    answer.downtimes = std::move(downtimes);
    return answer;
}

Json to_json(const DowntimeAnswer& answer) {
    boost::json::array downtimes, totals;
    for (const auto& down : answer.downtimes)
        downtimes.push_back(
            UpkeepObject{{"id", down.id},
                         {"station", text(down.station)},
                         {"began", iso_8601(down.began)},
                         {"ended", down.ended ? Json(iso_8601(*down.ended)) : Json(nullptr)},
                         {"planned", down.planned},
                         {"reason", text(down.reason)},
                         {"note", text(down.note)},
                         {"who", text(down.who)},
                         {"ended_by", text(down.ended_by)}});
    for (const auto& total : answer.totals)
        totals.push_back(UpkeepObject{{"reason", text(total.reason)},
                                      {"times", total.times},
                                      {"lasted_ms", total.lasted.count()}});
    return UpkeepObject{{"downtimes", std::move(downtimes)}, {"totals", std::move(totals)}};
}

Sheet sheet_of(const DowntimeAnswer& answer) {
    Sheet sheet;
    sheet.title = "Downtime";
    if (answer.downtimes.empty()) {
        sheet.sentences.emplace_back("None was told.");
        return sheet;
    }
    Table totals{
        "By reason", {{"reason", "", false}, {"times", "", true}, {"lasted", "s", true}}, {}};
    for (const auto& total : answer.totals)
        totals.rows.push_back(
            {printable(total.reason, 60), count_cell(total.times),
             TableCell(lasting(total.lasted), static_cast<double>(total.lasted.count()) / 1000.0)});
    Table each{"Each",
               {{"began", "", false},
                {"ended", "", false},
                {"reason", "", false},
                {"planned", "", false},
                {"who", "", false},
                {"note", "", false}},
               {}};
    for (const auto& down : answer.downtimes)
        each.rows.push_back({iso_8601(down.began),
                             down.ended ? iso_8601(*down.ended) : std::string("not over"),
                             printable(down.reason, 60), down.planned ? "yes" : "no",
                             printable(down.who, 40), printable(down.note, 120)});
    sheet.tables = {std::move(totals), std::move(each)};
    return sheet;
}

Json to_json(const std::vector<record::Removal>& removals) {
    boost::json::array list;
    for (const auto& removal : removals)
        list.push_back(UpkeepObject{{"id", removal.id},
                                    {"at", iso_8601(removal.at)},
                                    {"ended_before", iso_8601(removal.ended_before)},
                                    {"runs", removal.runs},
                                    {"bytes", removal.bytes},
                                    {"who", text(removal.who)},
                                    {"why", text(removal.why)}});
    return UpkeepObject{{"removals", std::move(list)}};
}

Sheet sheet_of(const std::vector<record::Removal>& removals) {
    Sheet sheet;
    sheet.title = "Raw readings that were removed";
    if (removals.empty()) sheet.sentences.emplace_back("None.");
    Table table{"",
                {{"at", "", false},
                 {"of runs that ended before", "", false},
                 {"runs", "", true},
                 {"bytes", "", true},
                 {"who", "", false},
                 {"why", "", false}},
                {}};
    for (const auto& removal : removals)
        table.rows.push_back({iso_8601(removal.at), iso_8601(removal.ended_before),
                              count_cell(removal.runs), count_cell(removal.bytes),
                              printable(removal.who, 40), printable(removal.why, 120)});
    sheet.tables.push_back(std::move(table));
    return sheet;
}

}  // namespace padtrim::answers
