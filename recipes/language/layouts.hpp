// The layout of the three documents, each written once for reading, writing and documenting.
//
// A layout fills a default-made value; what a document leaves out keeps its default. Shorthands
// (one setting for every port, wiring by rule) exist for authors; the canonical text has none.
#pragma once

#include "recipes/document/fields.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "recipes/language/recipe.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::language {

// Each document opens with its kind and the version of its layout: padtrim_recipe = 1.
inline constexpr std::string_view recipe_kind = "padtrim_recipe";
inline constexpr std::string_view map_kind = "padtrim_register_map";
inline constexpr std::string_view fixture_kind = "padtrim_fixture";
inline constexpr std::string_view plan_kind = "padtrim_plan";
inline constexpr std::int64_t layout_version = 1;

void describe(document::Fields& fields, Recipe& recipe);
void describe(document::Fields& fields, Step& step);
void describe(document::Fields& fields, RegisterMap& map);
void describe(document::Fields& fields, FixtureProfile& fixture);

void describe(document::Fields& fields, Register& where);
void describe(document::Fields& fields, Command& command);
void describe(document::Fields& fields, ShiftCheck& check);
void describe(document::Fields& fields, StopRule& rule);
void describe(document::Fields& fields, StackLight& light);
void describe(document::Fields& fields, ContactLives& lives);
void describe(document::Fields& fields, CodedIdentity& identity);
void describe(document::Fields& fields, EquipmentRecord& equipment, const FixtureProfile& fixture);
void describe_kind(document::Fields& fields, std::string_view kind);

}  // namespace padtrim::language
