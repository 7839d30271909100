// Control charts for other programs.
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/control_answer.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {
namespace {

using ControlObject = boost::json::object;

Json frozen_json(const PlaceControl& place) {
    if (!place.frozen) return nullptr;
    return ControlObject{{"chart", place.frozen->id},
                         {"kind", text(place.frozen->kind)},
                         {"centre", number(place.frozen->centre)},
                         {"sigma", number(place.frozen->sigma)},
                         {"points", place.frozen->points},
                         {"at", iso_8601(place.frozen->at)},
                         {"who", text(place.frozen->who)},
                         {"why", text(place.frozen->why)}};
}

Json line_json(const ControlLine& line) {
    boost::json::array points;
    for (const auto& point : line.points)
        points.push_back(ControlObject{{"label", text(point.label)},
                                       {"at", iso_8601(point.at)},
                                       {"value", number(point.value)},
                                       {"low", number(point.low)},
                                       {"high", number(point.high)},
                                       {"signal", text(point.signal)}});
    return ControlObject{{"title", text(line.title)},
                         {"centre", number(line.centre)},
                         {"points", std::move(points)}};
}

}  // namespace

Json to_json(const ControlAnswer& answer) {
    boost::json::array places, rules;
    for (const auto& rule : answer.rules) rules.push_back(text(rule));
    for (const auto& place : answer.places) {
        boost::json::array lines;
        for (const auto& line : place.lines) lines.push_back(line_json(line));
        places.push_back(ControlObject{
            {"what", text(place.words)},
            {"unit", text(place.measure)},
            {"signals", place.signals()},
            {"run_length", place.run_length ? number(*place.run_length) : Json(nullptr)},
            {"frozen", frozen_json(place)},
            {"flaw", place.flaw ? Json(statistics::text_of(*place.flaw)) : Json(nullptr)},
            {"lines", std::move(lines)}});
    }
    return ControlObject{{"kind", name_of(answer.kind)},
                         {"rules", std::move(rules)},
                         {"baseline", answer.baseline},
                         {"points_are_days", answer.by_day},
                         {"several_revisions", answer.several_revisions},
                         {"places", std::move(places)}};
}

}  // namespace padtrim::answers
