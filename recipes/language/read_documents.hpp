// One document read and checked by itself, still with its text and places, so that checks across
// documents can point into it.
#pragma once

#include <string>

#include "recipes/document/document.hpp"
#include "recipes/language/extend_recipe.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "recipes/language/recipe.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::language {

template <class T>
struct Reading {
    document::Document document;
    T value;
};

// T is Recipe, RegisterMap or FixtureProfile. What could not be read has its default; ask
// document.sound(path) before relying on it. `fetch` reads the recipes that a recipe is based on.
template <class T>
[[nodiscard]] Reading<T> read_document(std::string text, const std::string& file_name,
                                       const Fetch& fetch = {});

// The problems of one table of a document (a plan holds three) go to `document`.
template <class T>
[[nodiscard]] T read_part(document::Document& document, const document::Node& table,
                          const std::string& path);

}  // namespace padtrim::language
