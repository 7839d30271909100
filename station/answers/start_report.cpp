#include "station/answers/start_report.hpp"

#include <algorithm>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

namespace padtrim::answers {

std::string_view name_of(ObstacleAt at) {
    switch (at) {
        case ObstacleAt::fault:
            return "fault";
        case ObstacleAt::guard:
            return "guard";
        case ObstacleAt::ports:
            return "ports";
        case ObstacleAt::plan:
            return "plan";
        case ObstacleAt::check:
            return "check";
        case ObstacleAt::records:
            return "records";
    }
    return "";
}

bool StartReport::free_as_draft() const {
    return std::all_of(obstacles.begin(), obstacles.end(),
                       [](const Obstacle& obstacle) { return obstacle.draft_helps; });
}

StationTrouble trouble_of(const engine::RestFinding& found) {
    StationTrouble trouble;
    trouble.ports = found.fault;
    if (found.state == engine::AtRest::guard_open)
        trouble.guard = "Close the guard, hands out; then a lot can start.";
    if (found.state == engine::AtRest::stop_pressed)
        trouble.guard =
            "Release the emergency stop once nobody is in danger; then a lot can start.";
    return trouble;
}

StartReport start_report(ledger::Reader& reader, const language::Plan& plan,
                         const std::string& station, const StationTrouble& trouble,
                         record::WallTime now) {
    StartReport report;
    auto& in_the_way = report.obstacles;
    if (!trouble.fault.empty()) in_the_way.push_back({ObstacleAt::fault, trouble.fault, false});
    if (!trouble.guard.empty()) in_the_way.push_back({ObstacleAt::guard, trouble.guard, false});
    if (!trouble.ports.empty()) in_the_way.push_back({ObstacleAt::ports, trouble.ports, false});
    const auto standing = standing_of(reader, plan, false, now);
    if (!standing)
        in_the_way.push_back({ObstacleAt::records, standing.error().what, false});
    else if (!standing->granted())
        in_the_way.push_back({ObstacleAt::plan, on_a_page(*standing), true});
    else
        report.permission = standing->sentence;
    const auto readiness = readiness_in(reader, plan.fixture, station, now);
    if (!readiness)
        in_the_way.push_back({ObstacleAt::records, readiness.error().what, false});
    else if (!readiness->may_produce())
        in_the_way.push_back({ObstacleAt::check, readiness->sentence, true});
    else
        report.readiness = readiness->sentence;
    return report;
}

std::string before_start(std::string sentence, const StartReport& report) {
    const bool lot_is_next = sentence == start_a_lot;
    const auto& in_the_way = report.obstacles;
    const bool check_is_next =
        std::any_of(in_the_way.begin(), in_the_way.end(), [&](const Obstacle& obstacle) {
            return obstacle.at == ObstacleAt::check && obstacle.sentence == sentence;
        });
    if (!lot_is_next && !check_is_next) return sentence;
    for (const Obstacle& obstacle : in_the_way) {
        if (obstacle.at == ObstacleAt::guard || obstacle.at == ObstacleAt::ports)
            return obstacle.sentence;
        if (obstacle.at == ObstacleAt::plan && lot_is_next) return "Have the plan released.";
    }
    return sentence;
}

Json to_json(const StartReport& report) {
    boost::json::array list;
    for (const auto& obstacle : report.obstacles) {
        list.push_back(boost::json::object{{"at", text(name_of(obstacle.at))},
                                           {"sentence", obstacle.sentence},
                                           {"draft_helps", obstacle.draft_helps}});
    }
    return boost::json::object{{"free", report.free()},
                               {"free_as_draft", report.free_as_draft()},
                               {"obstacles", std::move(list)},
                               {"permission", report.permission},
                               {"readiness", report.readiness}};
}

}  // namespace padtrim::answers
