// Commands that look after the file of records itself, as plain values. Part of the command line
// (command_line.hpp).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace padtrim::cli {

enum class StoreAct { rebuild_rollups, shifts, verify, backup, restore, retire, downtime, audit };

struct StoreCommand {
    StoreAct act = StoreAct::rebuild_rollups;
    std::string records;
    std::string other;  // the copy, or the file that a copy is restored to
    std::string station, who, why;
    std::vector<std::string> begins;    // of shifts, "06:00"
    std::optional<std::uint32_t> days;  // older observations are removed
    std::string since, until, reason;   // of downtime; the first two of the audit too
    bool begin = false, end = false, planned = false;
    bool json = false;
};

void add_store_commands(CLI::App& app, StoreCommand& command);

}  // namespace padtrim::cli
