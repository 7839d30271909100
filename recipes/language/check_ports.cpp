// Who talks on which port. Units answer at one default address, so nests share a port only through
// a multiplexer; relay board and climate sensor may share a bus at different addresses.
#include <map>
#include <set>

#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;

bool port_sound(const Document& document, const std::string& path) {
    return document.sound(path + ".port");
}

void shared_port(Document& document, const std::string& path, const std::string& other,
                 const PortName& port) {
    document.complain(path + ".port",
                      "port " + in_quotes(port.path) + " is already used by " + other,
                      "Give each device a port of its own.");
}

void want_same_line(Document& document, const std::string& path, const PortName& a,
                    const PortName& b) {
    if (a.line == b.line) return;
    document.complain(path + ".port",
                      "port " + in_quotes(a.path) + " has two different line settings",
                      "Devices on one port talk at one speed; state the settings once, in [line].");
}

// Nests on one port: each needs a select_coil, and one set of line settings.
void check_shared_by_nests(Document& document, const FixtureProfile& fixture,
                           const std::vector<std::size_t>& sharing) {
    for (const auto i : sharing) {
        const auto& nest = fixture.nests[i];
        if (!nest.select_coil && sharing.size() > 1)
            document.complain(item_path("nest", i, "port"),
                              "nest " + std::to_string(nest.number) + " shares port " +
                                  in_quotes(nest.port.path) + " and has no select_coil",
                              "Units answer at the same address: give the nest a port of its own, "
                              "or the coil that puts it on the shared one.");
        want_same_line(document, item_path("nest", i), nest.port,
                       fixture.nests[sharing.front()].port);
    }
}

void check_nest_ports(Document& document, const FixtureProfile& fixture) {
    std::map<std::string, std::vector<std::size_t>> on_port;
    for (std::size_t i = 0; i < fixture.nests.size(); ++i)
        if (port_sound(document, item_path("nest", i)))
            on_port[fixture.nests[i].port.path].push_back(i);
    for (const auto& [port, nests] : on_port) check_shared_by_nests(document, fixture, nests);
}

void check_devices(Document& document, const FixtureProfile& fixture) {
    std::map<std::string, std::string> users;
    for (const auto& nest : fixture.nests)
        users.emplace(nest.port.path, "nest " + std::to_string(nest.number));
    const auto take = [&](const std::string& path, const PortName& port, const char* name) {
        if (!port_sound(document, path)) return;
        const auto [user, fresh] = users.try_emplace(port.path, name);
        if (!fresh) shared_port(document, path, user->second, port);
    };
    take("relays", fixture.relays.port, "the relay board");
    if (fixture.finger) take("finger", fixture.finger->port, "the finger");
    if (fixture.meter) take("meter", fixture.meter->port, "the meter");
    if (!fixture.climate) return;
    const auto& climate = *fixture.climate;
    if (climate.port.path != fixture.relays.port.path || fixture.relays.scpi)
        return take("climate", climate.port, "the climate sensor");
    if (!document.sound("climate") || !document.sound("relays")) return;
    want_same_line(document, "climate", climate.port, fixture.relays.port);
    if (climate.address == fixture.relays.address)
        document.complain("climate.port",
                          "relay board and climate sensor share a port and answer at the same "
                          "address, " +
                              std::to_string(climate.address),
                          "Set different addresses, or use two ports.");
}

}  // namespace

void check_ports(Document& document, const FixtureProfile& fixture) {
    check_nest_ports(document, fixture);
    check_devices(document, fixture);
}

}  // namespace padtrim::language
