// The command line read into plain values. Only command_line.cpp, author_commands.cpp,
// care_commands.cpp, fixture_commands.cpp and quality_commands.cpp know CLI11.
//
// Nothing is opened or checked here but the words themselves; help and mistakes come back as text
// with the exit code that they want.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "station/cli/author_commands.hpp"
#include "station/cli/care_commands.hpp"
#include "station/cli/fixture_commands.hpp"
#include "station/cli/quality_commands.hpp"
#include "station/cli/station_wish.hpp"
#include "station/cli/store_commands.hpp"

namespace padtrim::cli {

// The exit codes of every command.
enum Exit : int { done = 0, some_did_not_pass = 1, bad_input = 2, station_fault = 3 };

struct RunCommand {
    StationWish of;
    std::string lot;
    std::string operator_name;
    std::uint32_t units = 0;
    bool measure_only = false;
    bool again = false;                 // units that passed in another lot, too
    bool draft = false;                 // a plan that is not released; every result is marked
    std::string one_step;               // this one alone: a draft that only measures, of one unit
    std::optional<std::uint16_t> nest;  // this one alone
    bool json = false;
    bool plain = false;
    std::string program = "padtrim";  // as it was called, for what to try next
    LogWish log;
};

struct ServeCommand {
    StationWish of;
    std::uint16_t listen = 8480;
    std::string address, certificate, key;  // for other machines, over TLS; "": for none
    LogWish log;
};

struct BenchCommand {
    std::string fixture, unit, ports;
    std::uint64_t seed = 1;
    double rate = 1.0;
    std::uint32_t units = 24;
    std::string first_unit = "1";  // or "next"
    std::string truth;
    std::string defects = "line";
    bool standards = false;                       // the profile's check standards lie ready first
    std::optional<std::uint32_t> fixture_number;  // that the coded inputs say
    std::string challenge = "thick_glue@0";       // what is wrong with the challenge unit
    std::string faults, fault_script;
    double seconds = 0.0;  // 0: until stopped
};

struct CheckCommand {
    std::vector<std::string> files;
    bool json = false;
};

struct PlanCommand {
    std::string recipe, fixture, unit;
    bool json = false;
};

struct SchemaCommand {
    std::string document;  // recipe, register-map or fixture-profile
};

struct UnitCommand {
    std::string serial, records;
    bool all = false;          // every place of every check
    bool details = false;      // budgets, noise and crosstalk of the newest run
    bool monte_carlo = false;  // details, and each budget checked by Monte Carlo
    std::size_t trials = 1000000;
    std::optional<std::uint16_t> channel;  // of the details; none: all
    bool json = false;
};

// A person's decision about a unit.
struct DisposeCommand {
    std::string serial, records, to, who, why;
};

// Help, the version, or what is wrong with the words.
struct Words {
    int exit_code = done;
    std::string text;
};

using Command =
    std::variant<RunCommand, ServeCommand, BenchCommand, CheckCommand, PlanCommand, SchemaCommand,
                 UnitCommand, DisposeCommand, YieldCommand, HeaderCommand, RejudgeCommand,
                 LimitsCommand, ReleaseCommand, PermitCommand, ChangesCommand, ReferenceCommand,
                 ShiftCheckCommand, WearCommand, PortsCommand, TeachCommand, CapabilityCommand,
                 ChartCommand, AlarmsCommand, SamplingCommand, DriftCommand, GaugeCommand,
                 TraceCommand, InDoubtCommand, LotCommand, ExportCommand, ReportCommand,
                 StoreCommand, Words>;

[[nodiscard]] Command read_command_line(int argc, const char* const* argv);

}  // namespace padtrim::cli
