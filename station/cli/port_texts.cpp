#include "station/cli/port_texts.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/json.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;
using port::DeviceAnswer;
using port::Heard;
using port::PortFacts;

// From here on an adapter's own delay is felt in every exchange with a unit.
constexpr unsigned slow_ms = 2;

void add(Lines& lines, const char* what, const std::string& text) {
    if (!text.empty()) lines.push_back(fmt::format("  {:<9} {}", what, printable(text)));
}

void add(Lines& lines, const char* what, const std::vector<std::string>& names) {
    for (const auto& name : names) add(lines, what, name);
}

std::string adapter_of(const PortFacts& port) {
    std::string text;
    for (const std::string* part : {&port.maker, &port.model})
        if (!part->empty()) text += (text.empty() ? "" : ", ") + *part;
    if (!port.serial.empty()) text += (text.empty() ? "serial " : ", serial ") + port.serial;
    return text;
}

std::string kernel_of(const PortFacts& port) {
    if (port.driver.empty()) return "";
    return "driver " + port.driver + (port.bus.empty() ? "" : ", bus " + port.bus);
}

std::string latency_of(const PortFacts& port) {
    if (!port.latency_ms) return "";
    const std::string text = std::to_string(*port.latency_ms) + " ms";
    return *port.latency_ms < slow_ms ? text : text + "; 1 ms is faster: docs/ports.md";
}

const char* word_of(Heard heard) {
    if (heard == Heard::answered) return "answered";
    return heard == Heard::failed ? "no answer" : "not asked";
}

boost::json::array names_json(const std::vector<std::string>& names) {
    boost::json::array array;
    for (const auto& name : names) array.push_back(answers::text(printable(name)));
    return array;
}

}  // namespace

Lines port_lines(const std::vector<PortFacts>& ports, bool asked,
                 const std::vector<DeviceAnswer>& heard) {
    Lines lines;
    if (ports.empty()) lines.emplace_back("There is no serial port. Plug the adapters in.");
    for (const PortFacts& port : ports) {
        lines.push_back(printable(port.device));
        add(lines, "by id", port.by_id);
        add(lines, "by path", port.by_path);
        add(lines, "listed", port.listed);
        add(lines, "adapter", adapter_of(port));
        add(lines, "kernel", kernel_of(port));
        add(lines, "latency", latency_of(port));
        if (port.by_id.empty() && port.by_path.empty() && port.listed.empty())
            add(lines, "names", std::string("no stable one; docs/ports.md tells how to give one"));
    }
    if (!asked) return lines;
    if (!lines.empty()) lines.emplace_back();
    for (const DeviceAnswer& answer : heard)
        lines.push_back(fmt::format("{} on {}: {}", answer.device, printable(answer.port),
                                    answer.heard == Heard::failed
                                        ? "no answer. " + printable(answer.words, 400)
                                        : printable(answer.words, 400)));
    return lines;
}

boost::json::value ports_json(const std::vector<PortFacts>& ports,
                              const std::vector<DeviceAnswer>& heard) {
    boost::json::array list, devices;
    for (const PortFacts& port : ports) {
        boost::json::object entry{{"device", answers::text(printable(port.device))},
                                  {"by_id", names_json(port.by_id)},
                                  {"by_path", names_json(port.by_path)},
                                  {"listed", names_json(port.listed)},
                                  {"driver", answers::text(printable(port.driver))},
                                  {"bus", answers::text(printable(port.bus))},
                                  {"maker", answers::text(printable(port.maker))},
                                  {"model", answers::text(printable(port.model))},
                                  {"serial", answers::text(printable(port.serial))}};
        entry["latency_ms"] =
            port.latency_ms ? boost::json::value(*port.latency_ms) : boost::json::value(nullptr);
        list.push_back(std::move(entry));
    }
    for (const DeviceAnswer& answer : heard)
        devices.push_back({{"device", answers::text(answer.device)},
                           {"port", answers::text(printable(answer.port))},
                           {"result", answers::text(word_of(answer.heard))},
                           {"words", answers::text(printable(answer.words, 400))}});
    return boost::json::object{{"ports", std::move(list)}, {"devices", std::move(devices)}};
}

}  // namespace padtrim::cli
