#include "station/web/audit_state.hpp"

#include <charconv>

#include <boost/json/object.hpp>

#include "station/answers/json.hpp"
#include "station/answers/printable.hpp"
#include "station/web/fixture_control.hpp"

namespace padtrim::web {
namespace {

using answers::Json;
using AuditObject = boost::json::object;

constexpr std::size_t longest_asked = 400, longest_act = 200;

std::string cut(const std::string& text, std::size_t most) {
    if (text.size() <= most) return text;
    return text.substr(0, most) + " ... (" + std::to_string(text.size()) + " bytes)";
}

// The number after "/api/nest/", 0 when there is none.
std::uint16_t nest_of(const std::string& path) {
    constexpr std::string_view start = "/api/nest/";
    std::uint16_t nest = 0;
    if (path.substr(0, start.size()) == start)
        std::from_chars(path.data() + start.size(), path.data() + path.size(), nest);
    return nest;
}

bool is_by_hand(std::string_view path) {
    constexpr std::string_view start = "/api/fixture/";
    return path.substr(0, start.size()) == start;
}

AuditObject nest_state(const answers::NestStatus& nest) {
    return {{"nest", nest.number},
            {"mark", answers::name_of(nest.mark)},
            {"serial", answers::text(nest.serial)},
            {"step", answers::text(nest.step)},
            {"question", answers::text(nest.question)}};
}

AuditObject hand_state(const answers::FixtureHold& hold) {
    const Json all = answers::to_json(hold);
    AuditObject state;
    for (const char* name : {"held", "who", "state", "doing", "connected", "finger"})
        state[name] = all.at(name);
    return state;
}

// A lease is a key to the finger while it lasts.
std::string without_lease(const std::string& body) {
    auto json = answers::parse_json(body);
    if (!json || !json->is_object() || json->get_object().erase("lease") == 0) return body;
    return answers::text_of(*json);
}

}  // namespace

std::string audit_state(StationControl& station, const std::string& path) {
    const answers::StationStatus status = station.status();
    AuditObject state{{"state", answers::name_of(status.state)},
                      {"lot", answers::text(status.lot)},
                      {"measure_only", status.measure_only},
                      {"again", status.again},
                      {"draft", status.draft},
                      {"stopping", status.stopping},
                      {"last_fault", answers::text(status.last_fault)}};
    const auto number = nest_of(path);
    for (const auto& nest : status.nests)
        if (nest.number == number) state["nest"] = nest_state(nest);
    for (const auto& unit : station.lying())
        if (unit.nest.number == number)
            state["lying"] = AuditObject{{"serial", answers::text(unit.nest.serial)},
                                         {"to_confirm", unit.to_confirm}};
    if (auto* fixture = station.fixture(); fixture != nullptr && is_by_hand(path))
        state["fixture"] = hand_state(fixture->hold());
    return answers::text_of(state);
}

record::AuditEntry audit_entry(const Request& request, std::string who, std::string_view role) {
    record::AuditEntry entry;
    entry.who = std::move(who);
    entry.role = role;
    entry.address = request.address;
    entry.act = request.method + " " + answers::printable(request.path, longest_act);
    entry.asked =
        cut(is_by_hand(request.path) ? without_lease(request.body) : request.body, longest_asked);
    return entry;
}

bool worth_keeping(const record::AuditEntry& entry) {
    return entry.act != "POST /api/fixture/renew" || entry.status >= 300;
}

}  // namespace padtrim::web
