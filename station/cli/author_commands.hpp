// The commands that help who writes recipes and register maps, as plain values. Part of the command
// line (command_line.hpp).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace padtrim::cli {

struct HeaderCommand {
    std::string map;
    std::string name;  // "": made of the product's name
    bool json = false;
};

// Which stored runs a question goes over, in words as typed.
struct RunsWish {
    std::string records;
    std::string since, until;  // ISO 8601; "": no bound
    std::optional<std::string> lot, recipe, station;
    bool measure_only = false;
    bool released = false;  // no drafts
};

struct RejudgeCommand {
    std::string recipe;  // "": each run by its own plan
    RunsWish of;
    bool all = false;  // every check, not only those that some unit does not pass
    bool json = false;
};

struct LimitsCommand {
    std::vector<std::string> checks;  // none: all
    RunsWish of;
    double content = 0.99, confidence = 0.95;
    bool keys = false;  // each key and frequency too
    bool json = false;
};

// The documents that make a plan, and the records that hold what was decided of it.
struct PlanWish {
    std::string recipe, fixture, unit, records;
    std::string who, why;
};

struct ReleaseCommand {
    PlanWish of;  // recipe "": list
    std::optional<std::int64_t> withdraw;
    bool json = false;
};

struct PermitCommand {
    PlanWish of;  // recipe "": list
    std::string name, until;
    std::optional<std::uint32_t> quantity;
    bool json = false;
};

struct ChangesCommand {
    std::string before, after, records;
    bool json = false;
};

// Characterises the references of a fixture with its meter.
struct ReferenceCommand {
    std::string fixture, ports;
    std::string out;            // "": no new file
    bool write = false;         // in place of --fixture
    bool adapter_laid = false;  // somebody says that the adapter lies in every nest
    std::string certificate;    // number of this characterisation
    std::string due;            // "": as long after today as it was before
    double room = 23.0;         // degC
    std::uint32_t repeats = 5;
    std::string records, station;  // where wear of the contacts is counted; "": nowhere
    bool json = false;
};

struct AuthorCommands {
    HeaderCommand header;
    RejudgeCommand rejudge;
    LimitsCommand limits;
    ReleaseCommand release;
    PermitCommand permit;
    ChangesCommand changes;
    ReferenceCommand reference;
};

void add_author_commands(CLI::App& app, AuthorCommands& commands);

}  // namespace padtrim::cli
