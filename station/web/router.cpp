#include "station/web/router.hpp"

#include <charconv>
#include <functional>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/json.hpp"
#include "station/web/loopback_guard.hpp"

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

Response said(const Decision& decision, std::uint64_t after) {
    switch (decision.outcome) {
        case Outcome::accepted:
            return json(
                202, Object{{"accepted", true}, {"sentence", decision.sentence}, {"after", after}});
        case Outcome::refused:
            return problem(409, decision.sentence, decision.mend);
        case Outcome::unknown:
            return problem(404, decision.sentence, decision.mend);
        case Outcome::bad:
            return problem(400, decision.sentence, decision.mend);
    }
    return problem(500, decision.sentence, decision.mend);
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

// A body that is an object with no member but those named.
std::optional<Object> object_with(const std::string& body,
                                  std::initializer_list<std::string_view> names) {
    if (body.empty()) return Object{};
    auto value = answers::parse_json(body);
    if (!value || !value->is_object()) return std::nullopt;
    for (const auto& member : value->get_object()) {
        const std::string_view key(member.key().data(), member.key().size());
        if (std::find(names.begin(), names.end(), key) == names.end()) return std::nullopt;
    }
    return value->get_object();
}

// False when the member is there and is something else.
bool take(const Object& object, std::string_view name, std::string& into) {
    const Json* value = object.if_contains(name);
    if (!value) return true;
    if (!value->is_string()) return false;
    into = std::string(value->get_string());
    return true;
}

bool take(const Object& object, std::string_view name, bool& into) {
    const Json* value = object.if_contains(name);
    if (!value) return true;
    if (!value->is_bool()) return false;
    into = value->get_bool();
    return true;
}

bool take(const Object& object, std::string_view name, std::uint32_t& into) {
    const Json* value = object.if_contains(name);
    if (!value) return true;
    if (!value->is_int64() || value->get_int64() < 0 || value->get_int64() > 1'000'000) {
        return false;
    }
    into = static_cast<std::uint32_t>(value->get_int64());
    return true;
}

Response start_lot(const Request& request, StationControl& station) {
    const auto body =
        object_with(request.body, {"lot", "operator", "units", "measure_only", "plan"});
    StartRequest start;
    const bool read =
        body && take(*body, "lot", start.lot) && take(*body, "operator", start.operator_name) &&
        take(*body, "units", start.units) && take(*body, "measure_only", start.measure_only) &&
        take(*body, "plan", start.plan_text);
    if (!read || start.lot.empty()) {
        return problem(400, "That does not start a lot.",
                       "Send {\"lot\": \"NAME\"}, and if wanted \"units\": 24, \"operator\": "
                       "\"NAME\", \"measure_only\": true, \"plan\": \"TEXT\".");
    }
    const std::uint64_t after = station.events().last();
    return said(station.start_lot(std::move(start)), after);
}

Response clear_fault(const Request& request, StationControl& station) {
    const auto body = object_with(request.body, {"operator"});
    std::string person;
    if (!body || !take(*body, "operator", person) || person.empty()) {
        return problem(400, "A person has to clear a fault.", "Send {\"operator\": \"NAME\"}.");
    }
    return said(station.clear_fault(std::move(person)), station.events().last());
}

Response answer_question(const Request& request, StationControl& station, std::uint16_t nest) {
    const auto body = object_with(request.body, {"answer"});
    std::string answer;
    if (!body || !take(*body, "answer", answer) || (answer != "yes" && answer != "no")) {
        return problem(400, "That does not answer the question.",
                       "Send {\"answer\": \"yes\"}, or no.");
    }
    return said(station.answer_nest(nest, answer == "yes"), station.events().last());
}

Response nest_call(const Request& request, StationControl& station, std::uint16_t nest,
                   std::string_view act) {
    if (act == "abort") return said(station.abort_nest(nest), station.events().last());
    if (act == "answer") return answer_question(request, station, nest);
    const auto body = object_with(request.body, {"label"});
    std::string label;
    if (!body || !take(*body, "label", label)) {
        return problem(400, "That does not load a nest.",
                       "Send {\"label\": \"AS SCANNED\"}, or nothing.");
    }
    return said(station.load_nest(nest, std::move(label)), station.events().last());
}

// "/api/nest/3/abort" (or load, answer) to 3 and "abort".
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
    if (!nest || (act != "abort" && act != "load" && act != "answer")) return std::nullopt;
    return NestPath{*nest, act};
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
    if (path == "/api/events") {
        return Route{"GET", [&] { return events_since(request, station); }};
    }
    if (path == "/api/lot/start") {
        return Route{"POST", [&] { return start_lot(request, station); }};
    }
    if (path == "/api/lot/stop") {
        return Route{"POST", [&] { return said(station.stop_lot(), station.events().last()); }};
    }
    if (path == "/api/fault/clear") {
        return Route{"POST", [&] { return clear_fault(request, station); }};
    }
    if (const auto nest = nest_path(path)) {
        return Route{"POST", [&station, &request, at = *nest] {
                         return nest_call(request, station, at.nest, at.act);
                     }};
    }
    return std::nullopt;
}

}  // namespace

Response answer(const Request& request, StationControl& station) {
    if (auto refused = refusal(request)) return *refused;
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
