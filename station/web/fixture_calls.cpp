#include "station/web/fixture_calls.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include <boost/json/object.hpp>

#include "db/ledger/reader.hpp"
#include "station/answers/cautions.hpp"
#include "station/answers/contact_wear.hpp"
#include "station/web/decided.hpp"
#include "station/web/loopback_guard.hpp"
#include "station/web/members.hpp"
#include "station/web/quality_calls.hpp"

namespace padtrim::web {
namespace {

using answers::Json;
using CallObject = boost::json::object;

Response shown(const Json& body) {
    return {200, answers::text_of(body), ""};
}

// A call of a holder: its lease, and what else was sent.
struct HeldCall {
    explicit HeldCall(const Request& request) : members(request.body) {
        members.take("lease", lease);
    }
    // "" or what is wrong.
    [[nodiscard]] std::string wrong() const {
        const std::string other = members.wrong();
        if (!other.empty() || !lease.empty()) return other;
        return "Whose hand? \"lease\" is missing.";
    }
    Members members;
    std::string lease;
};

Response take(const Request& request, StationControl& station, FixtureControl& fixture) {
    Members members(request.body);
    bool read = false;
    std::string person = request.person;
    members.take("cautions_read", read);
    members.take_name("operator", person, person.empty());
    if (!request.person.empty()) person = request.person;
    std::string wrong = members.wrong();
    if (wrong.empty() && !read)
        wrong = "The cautions have to be read first. " + answers::caution_line();
    if (!wrong.empty())
        return problem(400, wrong, "Send {\"operator\": \"NAME\", \"cautions_read\": true}.");
    const std::uint64_t after = station.events().last();
    const Taken taken = fixture.take(std::move(person));
    Response response = said(taken.decision, after);
    if (response.status != 202) return response;
    Json body = *answers::parse_json(response.body);
    body.as_object()["lease"] = taken.lease;
    body.as_object()["lease_ms"] = fixture.hold().lease.count();
    response.body = answers::text_of(body);
    return response;
}

Response with_lease(const Request& request, StationControl& station, FixtureControl& fixture,
                    Decision (FixtureControl::*call)(const std::string&)) {
    const HeldCall held(request);
    if (const auto wrong = held.wrong(); !wrong.empty())
        return problem(400, wrong, "Send {\"lease\": \"AS GIVEN\"}.");
    return said((fixture.*call)(held.lease), station.events().last());
}

Response connect(const Request& request, StationControl& station, FixtureControl& fixture) {
    HeldCall held(request);
    ConnectWish wish;
    std::uint32_t nest = 1, channel = 0;
    held.members.take("nest", nest);
    held.members.take("channel", channel);
    held.members.take("reference", wish.reference);
    std::string wrong = held.wrong();
    constexpr std::uint32_t most = std::numeric_limits<std::uint16_t>::max();
    if (wrong.empty() && (nest > most || channel > most)) wrong = "There is no such place.";
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send {\"lease\", \"nest\": 1, \"channel\": 0, \"reference\": \"R1\"}, or a "
                       "reference of \"\" to open what is connected.");
    wish.nest = static_cast<std::uint16_t>(nest);
    wish.channel = static_cast<std::uint16_t>(channel);
    return said(fixture.connect(held.lease, std::move(wish)), station.events().last());
}

std::optional<FingerAct> act_named(const std::string& name) {
    constexpr std::array names = {
        std::pair("home", FingerAct::home), std::pair("lift", FingerAct::lift),
        std::pair("step", FingerAct::step), std::pair("over", FingerAct::over)};
    for (const auto& [known, act] : names)
        if (name == known) return act;
    return std::nullopt;
}

Response move(const Request& request, StationControl& station, FixtureControl& fixture) {
    HeldCall held(request);
    std::string act;
    FingerWish wish;
    std::uint32_t nest = 0;
    std::array<double, 3> by{};
    held.members.take("act", act);
    held.members.take("x_mm", by[0]);
    held.members.take("y_mm", by[1]);
    held.members.take("z_mm", by[2]);
    held.members.take("nest", nest);
    held.members.take("key", wish.key);
    const auto known = act_named(act);
    std::string wrong = held.wrong();
    if (wrong.empty() && !known) wrong = "\"act\" has to be home, lift, step or over.";
    if (wrong.empty() && nest > std::numeric_limits<std::uint16_t>::max())
        wrong = "There is no such nest.";
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send {\"lease\", \"act\": \"step\", \"x_mm\": 0.1, \"y_mm\": 0, \"z_mm\": "
                       "0}, {\"lease\", \"act\": \"over\", \"nest\": 1, \"key\": \"NAME\"}, or "
                       "\"act\": \"home\" or \"lift\".");
    wish.act = *known;
    wish.by = {Millimetre(by[0]), Millimetre(by[1]), Millimetre(by[2])};
    wish.nest = static_cast<std::uint16_t>(nest);
    return said(fixture.move(held.lease, std::move(wish)), station.events().last());
}

// Nobody is asked for a name, a lease or anything else before something stops.
Response stop(const Request& request, StationControl& station, FixtureControl& fixture) {
    return said(fixture.stop(request.person), station.events().last());
}

Response wear(const StationControl& station) {
    Response response;
    response.later = [records = station.records(), name = station.status().station,
                      fixture = station.plan().fixture] {
        const auto reader = ledger::Reader::open(records);
        if (!reader) return not_readable(reader.error());
        const auto worn = answers::wear_in(**reader, fixture, name);
        return worn ? shown(answers::to_json(*worn)) : not_readable(worn.error());
    };
    return response;
}

using FixtureCall = Response (*)(const Request&, StationControl&, FixtureControl&);
struct FixturePath {
    std::string_view path, method;
    FixtureCall call;
};
constexpr std::array paths = {
    FixturePath{"/api/fixture", "GET",
                [](const Request&, StationControl&, FixtureControl& fixture) {
                    return shown(answers::to_json(fixture.sheet()));
                }},
    FixturePath{"/api/fixture/hold", "GET",
                [](const Request&, StationControl&, FixtureControl& fixture) {
                    return shown(answers::to_json(fixture.hold()));
                }},
    FixturePath{
        "/api/fixture/wear", "GET",
        [](const Request&, StationControl& station, FixtureControl&) { return wear(station); }},
    FixturePath{"/api/fixture/take", "POST", take},
    FixturePath{"/api/fixture/renew", "POST",
                [](const Request& request, StationControl& station, FixtureControl& fixture) {
                    return with_lease(request, station, fixture, &FixtureControl::renew);
                }},
    FixturePath{"/api/fixture/give-back", "POST",
                [](const Request& request, StationControl& station, FixtureControl& fixture) {
                    return with_lease(request, station, fixture, &FixtureControl::give_back);
                }},
    FixturePath{"/api/fixture/stop", "POST", stop},
    FixturePath{"/api/fixture/connect", "POST", connect},
    FixturePath{"/api/fixture/finger", "POST", move}};

}  // namespace

std::optional<Response> fixture_answer(const Request& request, StationControl& station) {
    FixtureControl* const fixture = station.fixture();
    const auto call = std::find_if(paths.begin(), paths.end(), [&](const FixturePath& one) {
        return one.path == request.path;
    });
    if (fixture == nullptr || call == paths.end()) return std::nullopt;
    if (request.method == call->method) return call->call(request, station, *fixture);
    Response wrong = problem(405, "This call wants " + std::string(call->method) + ".",
                             "docs/commands.md lists the calls.");
    wrong.allow = std::string(call->method);
    return wrong;
}

}  // namespace padtrim::web
