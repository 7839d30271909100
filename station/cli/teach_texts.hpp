// What a person types while a nest is taught, and what is said to it. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <boost/json/value.hpp>

#include "fixtures/port/devices.hpp"
#include "recipes/language/register_map.hpp"
#include "station/cli/report_texts.hpp"
#include "station/metrology/centre_search.hpp"

namespace padtrim::cli {

// Before anything moves.
inline constexpr const char* teach_begins =
    "Type clear and Enter when nobody's hands are near and the guard is closed; another word ends "
    "this. Then keep\na hand on the emergency stop. Type stop and Enter to stop the finger by "
    "words.";

enum class TeachAct { clear, stop, step, find, all, where, write, quit, nothing, unknown };
struct TeachLine {
    TeachAct act = TeachAct::unknown;
    port::Position by;  // of a step
    std::string key;    // of a search
    bool here = false;  // from where the finger stands
};
[[nodiscard]] TeachLine read_teach_line(const std::string& line);

// After anything that stopped the finger. `discards`: the controller throws away what is left of a
// stopped way.
[[nodiscard]] std::string waits_text(bool discards);
[[nodiscard]] std::string no_word_text(const std::string& line);
// Of a key that "all" does not search.
[[nodiscard]] std::string left_out_text(const language::Key& key);

struct TaughtNest {
    std::uint16_t nest = 1;
    std::vector<metrology::TaughtKey> keys;
    std::vector<metrology::FoundCentre> centres;  // as many
    metrology::Spot origin_before;
};
[[nodiscard]] std::string centre_text(const std::string& key, const metrology::FoundCentre& found,
                                      const metrology::Spot& expected);
// The origin, and how well the keys agree with it.
[[nodiscard]] Lines taught_lines(const TaughtNest& taught);
// `written`: the file, "" for none.
[[nodiscard]] boost::json::value taught_json(const TaughtNest& taught, const std::string& written);

}  // namespace padtrim::cli
