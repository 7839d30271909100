// A C99 header for a unit's firmware, made from its register map: addresses and formats (or the
// forms of the lines, for a product that talks in text), and the
// correction in whole-number arithmetic, so that firmware and station cannot disagree.
//
// The header needs <stdint.h> only, allocates nothing, and compiles without warnings. Its
// correction gives what language::Correction gives, bit for bit.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "recipes/document/diagnostic.hpp"
#include "recipes/language/register_map.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

struct UnitHeader {
    std::string product, revision;
    std::string name;      // with which everything in the header begins: "hob_panel_8"
    std::string map_hash;  // SHA-256 of the map's file
    std::string text;
};

struct HeaderAnswer {
    std::optional<UnitHeader> header;
    std::vector<document::Diagnostic> diagnostics;  // why there is none
};

// Reads the map. `name` "" makes one of the product's name.
[[nodiscard]] HeaderAnswer unit_header(const std::string& map_path, const std::string& name = "");

[[nodiscard]] std::string header_text(const language::RegisterMap& map, const std::string& name,
                                      const std::string& map_hash);
// Lower case letters, digits and underscores; begins with a letter.
[[nodiscard]] std::string c_name(const std::string& words);

[[nodiscard]] Json to_json(const UnitHeader& header);

}  // namespace padtrim::answers
