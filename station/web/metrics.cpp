#include "station/web/metrics.hpp"

#include <charconv>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <unistd.h>

#include "db/record/unit_result.hpp"

namespace padtrim::web {
namespace {

// OpenMetrics 1.0, section "ABNF": what has to be escaped in a label's value.
std::string escaped(std::string_view text) {
    std::string result;
    for (const char letter : text) {
        if (letter == '\\' || letter == '"') result += '\\';
        if (letter == '\n')
            result += "\\n";
        else
            result += letter;
    }
    return result;
}

std::string label(std::string_view name, std::string_view value) {
    return "{" + std::string(name) + "=\"" + escaped(value) + "\"}";
}

std::string figure(double value) {
    std::array<char, 32> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), value).ptr;
    return {text.data(), end};
}

class Exposition {
  public:
    // A family's head; its unit, where it has one, ends its name.
    void family(const std::string& name, const char* type, const char* unit, const char* help) {
        name_ = name;
        text_ += "# TYPE " + name + " " + type + "\n";
        if (*unit != '\0') text_ += "# UNIT " + name + " " + unit + "\n";
        text_ += "# HELP " + name + " " + help + "\n";
    }
    void counter(const std::string& labels, double value) { sample("_total", labels, value); }
    void gauge(const std::string& labels, double value) { sample("", labels, value); }
    void sample(const char* suffix, const std::string& labels, double value) {
        text_ += name_ + suffix + labels + " " + figure(value) + "\n";
    }
    [[nodiscard]] std::string text() const { return text_ + "# EOF\n"; }

  private:
    std::string name_, text_;
};

double real(std::uint64_t count) {
    return static_cast<double>(count);
}

void add_station(Exposition& out, const MetricsSource& source) {
    using answers::StationState;
    out.family("padtrim_station", "info", "", "The station that this daemon works.");
    out.sample("_info", label("station", source.station), 1);
    out.family("padtrim_station_state", "stateset", "", "What the station does.");
    for (const auto state : {StationState::ready, StationState::running, StationState::needs_check,
                             StationState::blocked})
        out.gauge(label("padtrim_station_state", answers::name_of(state)),
                  state == source.state ? 1 : 0);
    out.family("padtrim_units", "counter", "", "Units that ended a run, by verdict.");
    for (std::size_t i = 0; i < source.tally.units.size(); ++i)
        out.counter(label("verdict", record::name_of(static_cast<record::Verdict>(i))),
                    real(source.tally.units.at(i)));
    out.family("padtrim_units_removed", "counter", "", "Units that left a lot without a run.");
    out.counter("", real(source.tally.removed));
    out.family("padtrim_faults", "counter", "", "Faults of station, fixture or link.");
    out.counter("", real(source.tally.faults));
}

void add_links(Exposition& out, const MetricsSource& source) {
    struct Kind {
        const char *name, *help;
        std::uint64_t answers::LinkTally::*count;
    };
    for (const Kind& kind :
         {Kind{"padtrim_link_transactions", "Transactions begun, by port.",
               &answers::LinkTally::transactions},
          Kind{"padtrim_link_retries", "Attempts after the first, by port.",
               &answers::LinkTally::retries},
          Kind{"padtrim_link_silences", "Attempts without an answer, by port.",
               &answers::LinkTally::silent},
          Kind{"padtrim_link_garbled", "Attempts without a sound answer, by port.",
               &answers::LinkTally::garbled},
          Kind{"padtrim_link_failures", "Transactions that failed, by port.",
               &answers::LinkTally::failed}}) {
        out.family(kind.name, "counter", "", kind.help);
        for (const auto& [port, link] : source.tally.links)
            out.counter(label("port", port), real(link.*kind.count));
    }
}

void add_http(Exposition& out, const MetricsSource& source) {
    out.family("padtrim_http_responses", "counter", "", "Answers to requests, by class of status.");
    for (std::size_t i = 2; i < source.traffic.answers.size(); ++i)
        out.counter(label("status", std::to_string(i) + "xx"), real(source.traffic.answers.at(i)));
    out.family("padtrim_http_connections", "counter", "", "Connections taken.");
    out.counter("", real(source.traffic.connections));
    out.family("padtrim_http_connections_dropped", "counter", "",
               "Connections let go since too many were open.");
    out.counter("", real(source.traffic.gave_way));
    out.family("padtrim_http_open_connections", "gauge", "", "Connections that are open.");
    out.gauge("", real(source.traffic.open));
    out.family("padtrim_http_open_streams", "gauge", "", "Pages that watch the station's state.");
    out.gauge("", real(source.traffic.watching));
    if (!source.certificate_ends) return;
    out.family("padtrim_certificate_end_seconds", "gauge", "seconds",
               "When the TLS certificate runs out.");
    out.gauge("",
              std::chrono::duration<double>(source.certificate_ends->time_since_epoch()).count());
}

void add_process(Exposition& out, const ProcessFigures& process) {
    out.family("padtrim_daemon_processor_seconds", "counter", "seconds",
               "Processor time of the daemon.");
    out.counter("", process.processor_seconds);
    out.family("padtrim_daemon_memory_bytes", "gauge", "bytes", "Memory that it holds.");
    out.gauge("", real(process.resident_bytes));
    out.family("padtrim_daemon_open_files", "gauge", "", "File descriptors that it holds.");
    out.gauge("", real(process.open_descriptors));
    out.family("padtrim_daemon_threads", "gauge", "", "Its threads.");
    out.gauge("", real(process.threads));
    out.family("padtrim_daemon_begun_seconds", "gauge", "seconds",
               "When it began, since 1970-01-01 UTC.");
    out.gauge("", process.started);
}

std::string first_line(const char* path) {
    std::string line;
    std::ifstream file(path);
    std::getline(file, line);
    return line;
}

double boot_time() {
    std::ifstream file("/proc/stat");
    for (std::string line; std::getline(file, line);)
        if (line.substr(0, 6) == "btime ") return std::stod(line.substr(6));
    return 0.0;
}

}  // namespace

// proc(5): /proc/self/stat, fields from the third on, after the name in parentheses.
ProcessFigures process_figures() {
    const std::string line = first_line("/proc/self/stat");
    std::istringstream fields(line.substr(line.rfind(')') + 1));
    std::vector<std::string> field(3);  // so that field[n] is the n-th of the page, from 1
    for (std::string one; fields >> one;) field.push_back(one);
    ProcessFigures figures;
    if (field.size() < 25) return figures;
    const auto ticks = static_cast<double>(::sysconf(_SC_CLK_TCK));
    figures.processor_seconds = (std::stod(field[14]) + std::stod(field[15])) / ticks;
    figures.threads = std::stoull(field[20]);
    figures.started = boot_time() + std::stod(field[22]) / ticks;
    figures.resident_bytes =
        std::stoull(field[24]) * static_cast<std::uint64_t>(::sysconf(_SC_PAGESIZE));
    std::error_code gone;
    for (auto at = std::filesystem::directory_iterator("/proc/self/fd", gone);
         at != std::filesystem::directory_iterator(); at.increment(gone))
        ++figures.open_descriptors;
    return figures;
}

std::string metrics_text(const MetricsSource& source) {
    Exposition out;
    add_station(out, source);
    add_links(out, source);
    add_http(out, source);
    add_process(out, source.process);
    return out.text();
}

}  // namespace padtrim::web
