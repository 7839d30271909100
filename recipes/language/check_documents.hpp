// What must hold within one document beyond the form of each value. Problems go to the document;
// a check keeps quiet where the values that it looks at could not be read.
#pragma once

#include "recipes/document/document.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "recipes/language/recipe.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::language {

void check_document(document::Document& document, const Recipe& recipe);
void check_document(document::Document& document, const RegisterMap& map);
void check_document(document::Document& document, const FixtureProfile& fixture);
// Part of the recipe's check: what each step says by itself.
void check_step_values(document::Document& document, const Recipe& recipe);
// Part of the recipe's check: retries, conditions, exceptions from limits.
void check_flow(document::Document& document, const Recipe& recipe);
// Part of the register map's check: what writes do to values, and to each other.
void check_commands(document::Document& document, const RegisterMap& map);
// Part of the register map's check: names, channels, neighbours, geometry.
void check_keys(document::Document& document, const RegisterMap& map);
// Part of the register map's check: lines where the product talks in lines, and only there.
void check_text_link(document::Document& document, const RegisterMap& map);
// Parts of the fixture profile's check.
void check_ports(document::Document& document, const FixtureProfile& fixture);
void check_wiring(document::Document& document, const FixtureProfile& fixture);
void check_equipment(document::Document& document, const FixtureProfile& fixture);
void check_finger_profile(document::Document& document, const FixtureProfile& fixture);
void check_relay_board(document::Document& document, const RelayBoard& board);
void check_meter(document::Document& document, const TipMeter& meter);
void check_upkeep(document::Document& document, const FixtureProfile& fixture);
void check_shift_check(document::Document& document, const ShiftCheck& check);

// Where a fixture profile describes a reference step: its own entry, or the rule that made it.
[[nodiscard]] std::string tip_path(const document::Document& document,
                                   const CharacterisedStep& step);

}  // namespace padtrim::language
