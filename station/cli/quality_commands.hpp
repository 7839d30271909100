// The quality team's commands as plain values. Part of the command line (command_line.hpp).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "station/answers/quality_wish.hpp"

namespace CLI {
class App;
}

namespace padtrim::cli {

enum class Face { text, json, csv };

// The part of the records that a question goes over, and how it is answered.
struct QualityWords : answers::QualityWords {
    std::string records;
    bool json = false, csv = false;
    [[nodiscard]] Face face() const { return json ? Face::json : csv ? Face::csv : Face::text; }
};

struct YieldCommand {
    QualityWords of;
    std::string by = "lot";
    std::vector<std::string> compare;  // none, or two names
    bool rolled = false;               // the checks that the rolled yield is made of
};

struct CapabilityCommand {
    QualityWords of;
    bool as_left = false;
    std::optional<double> low, high;  // limits to try
    std::size_t charts = 3;
};

struct ChartCommand {
    QualityWords of;
    bool as_left = false;
    std::string kind = "individuals";
    std::vector<std::string> rules;  // none: the usual four
    std::size_t size = 5, baseline = 0, charts = 2;
    double lambda = 0.1, width = 2.814;  // weighted
    double slack = 0.5, decision = 5.0;  // sums, in sigmas
    bool anew = false;                   // not the frozen charts
    bool freeze = false;
    std::string who, why;  // of freezing
};

// Looks at frozen charts and tells their alarms, or replies to one.
struct AlarmsCommand {
    std::string records;
    bool all = false;  // those with a reply, too
    std::optional<std::int64_t> reply;
    std::string who, why;
    bool json = false, csv = false;
};

// Sets a sampling plan, chooses a lot's units, keeps what was found, or tells all of it; or judges
// a lot by the values of one check.
struct SamplingCommand {
    std::string records, product, step, lot;
    std::string level = "II";
    double quality_limit = 1.0;
    bool set = false, resume = false;
    std::optional<std::uint64_t> size, found;
    std::string who, why;
    std::string judged_lot, check;  // by variables
    std::optional<std::string> key;
    bool as_left = false;
    std::optional<double> k;  // none: from the risks
    double good = 1.0, producers_risk = 5.0, bad = 5.0, consumers_risk = 10.0;  // %
    bool json = false, csv = false;
};

struct DriftCommand {
    QualityWords of;
    bool as_left = false;
    double risk = 0.01;
    std::size_t charts = 3;
};

struct GaugeCommand {
    QualityWords of;
    bool as_left = false;
    std::string appraisers = "nest";  // or station, operator
    std::optional<double> reference;  // type 1: of the one unit
    double calibration = 0.0;         // standard uncertainty of the reference
    bool type_1 = false;
    std::vector<std::string> agreement;  // none, or two stations
    std::optional<double> allowance;     // of their mean difference
    bool bias = false;
    std::string references;  // file of reference values
};

struct TraceCommand {
    QualityWords of;
    std::optional<std::string> serial;
    std::optional<std::uint16_t> relay;
};

struct InDoubtCommand {
    std::string records, station, fixture;
    std::size_t episode = 1;
    std::size_t charts = 1;
    bool json = false, csv = false;
};

struct LotCommand {
    std::string records, lot;
    bool json = false, csv = false;
};

struct ExportCommand {
    QualityWords of;
    std::string what = "units";  // units, checks, lines or readings
    std::string out;             // "": stdout
    bool as_left = false;
};

struct ReportCommand {
    QualityWords of;
    std::string out, who;
};

struct QualityCommands {
    YieldCommand yield;
    CapabilityCommand capability;
    ChartCommand chart;
    AlarmsCommand alarms;
    SamplingCommand sampling;
    DriftCommand drift;
    GaugeCommand gauge;
    TraceCommand trace;
    InDoubtCommand in_doubt;
    LotCommand lot;
    ExportCommand exports;
    ReportCommand report;
};

void add_quality_commands(CLI::App& app, QualityCommands& commands);

}  // namespace padtrim::cli
