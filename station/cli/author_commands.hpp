// The commands that help who writes recipes and register maps, as plain values. Part of the command
// line (command_line.hpp).
#pragma once

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

struct AuthorCommands {
    HeaderCommand header;
    RejudgeCommand rejudge;
    LimitsCommand limits;
};

void add_author_commands(CLI::App& app, AuthorCommands& commands);

}  // namespace padtrim::cli
