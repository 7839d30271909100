#include "station/web/router.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <functional>
#include <limits>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/json.hpp"
#include "station/answers/panel_sheet.hpp"
#include "station/answers/plan_forecast.hpp"
#include "station/answers/readiness.hpp"
#include "station/web/books_calls.hpp"
#include "station/web/decided.hpp"
#include "station/web/fixture_calls.hpp"
#include "station/web/loopback_guard.hpp"
#include "station/web/members.hpp"
#include "station/web/pages.hpp"
#include "station/web/quality_acts.hpp"
#include "station/web/recipe_calls.hpp"
#include "station/web/record_calls.hpp"

namespace padtrim::web {
namespace {

using answers::Json;
using Object = boost::json::object;

Response json(unsigned status, const Json& body) {
    return {status, answers::text_of(body), ""};
}

template <class Integer>
std::optional<Integer> whole(std::string_view text) {
    Integer value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

Response events_since(const Request& request, const StationControl& station) {
    constexpr std::string_view name = "after=";
    std::uint64_t after = 0;
    if (!request.query.empty()) {
        const auto value = request.query.substr(0, name.size()) == name
                               ? whole<std::uint64_t>(request.query.substr(name.size()))
                               : std::nullopt;
        if (!value) {
            return problem(400, "Only after=NUMBER can be asked for.",
                           "Send the number of the last event that you have.");
        }
        after = *value;
    }
    boost::json::array list;
    for (const auto& numbered : station.events().after(after)) {
        Json event = answers::to_json(numbered.event);
        event.as_object()["number"] = numbered.number;
        list.push_back(std::move(event));
    }
    const std::uint64_t missed = station.events().missed(after);
    return json(
        200,
        Object{{"last", station.events().last()}, {"missed", missed}, {"events", std::move(list)}});
}

Response start_lot(const Request& request, StationControl& station) {
    Members members(request.body);
    StartRequest start;
    members.take_name("lot", start.lot, true);
    members.take_name("operator", start.operator_name, false);
    members.take("units", start.units);
    members.take("measure_only", start.measure_only);
    members.take("again", start.again);
    members.take("draft", start.draft);
    members.take("plan", start.plan_text);
    members.take("step", start.step);
    std::uint32_t nest = 0;
    members.take("nest", nest);
    std::string wrong = members.wrong();
    if (wrong.empty() && nest > std::numeric_limits<std::uint16_t>::max())
        wrong = "There is no such nest.";
    if (!wrong.empty()) {
        return problem(400, wrong,
                       "Send {\"lot\": \"NAME\"}, and if wanted \"units\": 24, \"operator\": "
                       "\"NAME\", \"measure_only\": true, \"again\": true, \"draft\": true, "
                       "\"plan\": \"TEXT\", "
                       "\"step\": \"NAME\", \"nest\": 1.");
    }
    if (nest != 0) start.nest = static_cast<std::uint16_t>(nest);
    if (!start.step.empty()) start.draft = start.measure_only = true;
    if (!request.person.empty()) start.operator_name = request.person;
    if (!request.may_draft && (start.draft || !start.plan_text.empty()))
        return problem(403, "Only an engineer runs a draft or a plan of their own.",
                       "Run the released plan, or ask an engineer.");
    const std::uint64_t after = station.events().last();
    return said(station.start_lot(std::move(start)), after);
}

// A call that a named person makes.
Response by_person(const Request& request, StationControl& station, const std::string& what,
                   Decision (StationControl::*call)(std::string)) {
    Members members(request.body);
    std::string person = request.person;
    members.take_name("operator", person, person.empty());
    if (!request.person.empty()) person = request.person;
    if (const std::string wrong = members.wrong(); !wrong.empty()) {
        return problem(400, "A person has to " + what + ". " + wrong,
                       "Send {\"operator\": \"NAME\"}.");
    }
    const std::uint64_t after = station.events().last();
    return said((station.*call)(std::move(person)), after);
}

Response newest_shift_check(const StationControl& station) {
    const auto check = station.newest_shift_check();
    if (check) return json(200, answers::to_json(*check));
    return problem(404, "There is no shift check yet.",
                   "Lay the check standards ready and POST /api/shift-check/start.");
}

Response answer_question(const Request& request, StationControl& station, std::uint16_t nest) {
    Members members(request.body);
    std::string answer;
    members.take("answer", answer);
    std::string wrong = members.wrong();
    if (wrong.empty() && answer != "yes" && answer != "no")
        wrong = "\"answer\" has to be \"yes\" or \"no\".";
    if (!wrong.empty())
        return problem(400, wrong, "Send {\"answer\": \"yes\"}, or {\"answer\": \"no\"}.");
    return said(station.answer_nest(nest, answer == "yes"), station.events().last());
}

Response put_aside(const Request& request, StationControl& station, std::uint16_t nest) {
    Members members(request.body);
    std::string person;
    members.take_name("operator", person, false);
    if (!request.person.empty()) person = request.person;
    if (const std::string wrong = members.wrong(); !wrong.empty())
        return problem(400, wrong, "Send {\"operator\": \"NAME\"}, or nothing.");
    return said(station.put_aside(nest, std::move(person)), station.events().last());
}

Response nest_call(const Request& request, StationControl& station, std::uint16_t nest,
                   std::string_view act) {
    if (act == "abort") return said(station.abort_nest(nest), station.events().last());
    if (act == "put-aside") return put_aside(request, station, nest);
    if (act == "answer") return answer_question(request, station, nest);
    Members members(request.body);
    std::string label;
    members.take("label", label);
    if (const std::string wrong = members.wrong(); !wrong.empty()) {
        return problem(400, wrong, "Send {\"label\": \"AS SCANNED\"}, or nothing.");
    }
    return said(station.load_nest(nest, std::move(label)), station.events().last());
}

// "/api/nest/3/abort" (or load, answer, put-aside) to 3 and "abort".
struct NestPath {
    std::uint16_t nest = 0;
    std::string act;
};
std::optional<NestPath> nest_path(const std::string& path) {
    constexpr std::string_view start = "/api/nest/";
    if (path.substr(0, start.size()) != start) return std::nullopt;
    const auto slash = path.find('/', start.size());
    if (slash == std::string::npos) return std::nullopt;
    const auto nest =
        whole<std::uint16_t>(std::string_view(path).substr(start.size(), slash - start.size()));
    const std::string act = path.substr(slash + 1);
    constexpr std::array acts = {"abort", "load", "answer", "put-aside"};
    if (!nest || std::count(acts.begin(), acts.end(), act) == 0) return std::nullopt;
    return NestPath{*nest, act};
}

Response live() {
    Response response;
    response.live = true;
    return response;
}

struct Route {
    std::string_view method;
    std::function<Response()> call;
};

std::optional<Route> route(const Request& request, StationControl& station) {
    const std::string& path = request.path;
    if (path == "/api/health") {
        return Route{"GET", [] { return json(200, Object{{"ok", true}}); }};
    }
    if (path == "/api/status") {
        return Route{"GET", [&] { return json(200, answers::to_json(station.status())); }};
    }
    if (path == "/api/live") return Route{"GET", live};
    if (path == "/api/panel") {
        return Route{"GET", [&] {
                         return json(200, answers::to_json(answers::panel_sheet(
                                              station.plan(), station.status().station)));
                     }};
    }
    if (path == "/api/plan") {
        return Route{
            "GET", [&] { return json(200, answers::to_json(answers::forecast(station.plan()))); }};
    }
    if (path == "/api/events") {
        return Route{"GET", [&] { return events_since(request, station); }};
    }
    if (path == "/api/lot/start") {
        return Route{"POST", [&] { return start_lot(request, station); }};
    }
    if (path == "/api/lot/stop") {
        return Route{"POST", [&] { return said(station.stop_lot(), station.events().last()); }};
    }
    if (path == "/api/shift-check") {
        return Route{"GET", [&] { return newest_shift_check(station); }};
    }
    if (path == "/api/shift-check/start") {
        return Route{"POST", [&] {
                         return by_person(request, station, "answer for a shift check",
                                          &StationControl::start_shift_check);
                     }};
    }
    if (path == "/api/fault/clear") {
        return Route{"POST", [&] {
                         return by_person(request, station, "clear a fault",
                                          &StationControl::clear_fault);
                     }};
    }
    if (const QualityAct act = quality_act(path)) {
        return Route{"POST", [&station, &request, act] { return act(request, station); }};
    }
    if (const auto nest = nest_path(path)) {
        return Route{"POST", [&station, &request, at = *nest] {
                         return nest_call(request, station, at.nest, at.act);
                     }};
    }
    return std::nullopt;
}

// A page shows the newest marks; the whole tape is in /api/status.
constexpr std::size_t newest_marks = 300;

}  // namespace

std::string live_state(const StationControl& station) {
    answers::StationStatus status = station.status();
    const std::size_t marks = status.tape.size();
    const std::size_t quarantined = answers::quarantined_units(status);
    if (marks > newest_marks) {
        status.tape.erase(status.tape.begin(),
                          status.tape.end() - static_cast<std::ptrdiff_t>(newest_marks));
    }
    Json state = answers::to_json(status);
    Object& members = state.get_object();
    std::string sentence = answers::next_sentence(status, station.lying());
    members["marks"] = marks;
    members["quarantined"] = quarantined;
    members["lying"] = answers::to_json(station.lying());
    members["plan_hash"] = station.plan().hash;
    members["pages"] = pages_version();
    if (status.state != answers::StationState::running) {
        const answers::StartReport start = station.start_report();
        sentence = answers::before_start(std::move(sentence), start);
        members["start"] = answers::to_json(start);
    }
    members["sentence"] = std::move(sentence);
    return answers::text_of(state);
}

Response answer(const Request& request, StationControl& station) {
    if (auto refused = refusal(request)) return *refused;
    if (request.path.substr(0, 5) != "/api/") return page_answer(request);
    if (auto from_records = record_answer(request, station.records())) return *from_records;
    if (auto booked = books_answer(request, station)) return *booked;
    if (auto by_hand = fixture_answer(request, station)) return *by_hand;
    if (auto authored = recipe_answer(request, station)) return *authored;
    const auto found = route(request, station);
    if (!found) {
        return problem(404, "There is no such call.", "docs/commands.md lists them all.");
    }
    if (request.method == found->method) return found->call();
    Response wrong = problem(405, "This call wants " + std::string(found->method) + ".",
                             "docs/commands.md lists the calls.");
    wrong.allow = std::string(found->method);
    return wrong;
}

}  // namespace padtrim::web
