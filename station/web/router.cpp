#include "station/web/router.hpp"

#include <charconv>
#include <functional>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/json.hpp"
#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/readiness.hpp"
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

// The members of a body, taken one after the other; the first thing that is wrong stays.
class Members {
  public:
    explicit Members(const std::string& body) {
        if (body.empty()) return;
        auto value = answers::parse_json(body);
        if (value && value->is_object())
            object_ = std::move(value->get_object());
        else
            wrong_ = "The body is not a JSON object.";
    }
    void take(const char* name, std::string& into) {
        if (const Json* value = find(name, "a string", &Json::is_string))
            into = std::string(value->get_string());
    }
    void take(const char* name, bool& into) {
        if (const Json* value = find(name, "true or false", &Json::is_bool))
            into = value->get_bool();
    }
    void take(const char* name, std::uint32_t& into) {
        constexpr const char* wanted = "a whole number from 0 to 1000000";
        const Json* value = find(name, wanted, &Json::is_int64);
        if (!value) return;
        if (value->get_int64() < 0 || value->get_int64() > 1'000'000) return refuse(name, wanted);
        into = static_cast<std::uint32_t>(value->get_int64());
    }
    // A name that people give; empty only when it may be.
    void take_name(const char* name, std::string& into, bool required) {
        take(name, into);
        if (!wrong_.empty() || (into.empty() && !required)) return;
        wrong_ = answers::wrong_with_name(name, into);
    }
    // What is wrong, members that nobody asked for included, or "".
    [[nodiscard]] std::string wrong() const {
        if (!wrong_.empty() || object_.empty()) return wrong_;
        const std::string_view key(object_.begin()->key());
        return "There is no member \"" + answers::printable(key, 40) + "\" in this call.";
    }

  private:
    const Json* find(const char* name, const char* wanted, bool (Json::*is)() const noexcept) {
        const Json* value = object_.if_contains(name);
        if (value == nullptr) return nullptr;
        taken_ = *value;
        object_.erase(name);
        if ((taken_.*is)()) return &taken_;
        refuse(name, wanted);
        return nullptr;
    }
    void refuse(const char* name, const char* wanted) {
        if (wrong_.empty()) wrong_ = std::string("\"") + name + "\" has to be " + wanted + ".";
    }

    Object object_;
    Json taken_;
    std::string wrong_;
};

Response start_lot(const Request& request, StationControl& station) {
    Members members(request.body);
    StartRequest start;
    members.take_name("lot", start.lot, true);
    members.take_name("operator", start.operator_name, false);
    members.take("units", start.units);
    members.take("measure_only", start.measure_only);
    members.take("draft", start.draft);
    members.take("plan", start.plan_text);
    if (const std::string wrong = members.wrong(); !wrong.empty()) {
        return problem(400, wrong,
                       "Send {\"lot\": \"NAME\"}, and if wanted \"units\": 24, \"operator\": "
                       "\"NAME\", \"measure_only\": true, \"draft\": true, \"plan\": \"TEXT\".");
    }
    const std::uint64_t after = station.events().last();
    return said(station.start_lot(std::move(start)), after);
}

// A call that a named person makes.
Response by_person(const Request& request, StationControl& station, const std::string& what,
                   Decision (StationControl::*call)(std::string)) {
    Members members(request.body);
    std::string person;
    members.take_name("operator", person, true);
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

Response nest_call(const Request& request, StationControl& station, std::uint16_t nest,
                   std::string_view act) {
    if (act == "abort") return said(station.abort_nest(nest), station.events().last());
    if (act == "answer") return answer_question(request, station, nest);
    Members members(request.body);
    std::string label;
    members.take("label", label);
    if (const std::string wrong = members.wrong(); !wrong.empty()) {
        return problem(400, wrong, "Send {\"label\": \"AS SCANNED\"}, or nothing.");
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
