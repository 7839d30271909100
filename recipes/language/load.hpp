// From files to a plan, and from a plan to its text and back.
//
// Everything here is pure but for reading the three files. Nothing throws for bad input: problems
// come back as diagnostics, all of them at once, and then there is no value. docs/engineer.md shows
// the documents; the checks of one document stand in check_*.hpp, those across them in
// check_together.hpp.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "recipes/document/diagnostic.hpp"
#include "recipes/language/extend_recipe.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::language {

struct DocumentPaths {
    std::string recipe, map, fixture;
};

// A plan, or what is wrong (then the plan is null).
struct Loaded {
    PlanPtr plan;
    std::vector<document::Diagnostic> diagnostics;
};

[[nodiscard]] Loaded load_plan(const DocumentPaths& paths);

// One document by itself, or what is wrong with it. `file_name` is for messages, and says from
// which folder a recipe's `based_on` goes; `fetch` reads what it names.
template <class T>
struct ReadDocument {
    std::optional<T> value;
    std::vector<document::Diagnostic> diagnostics;
};

// The text of a file of at most 4 MiB.
[[nodiscard]] ReadDocument<std::string> read_text(const std::string& path);
// The same for a Fetch, which needs no reason.
[[nodiscard]] std::optional<std::string> text_of_file(const std::string& path);

[[nodiscard]] ReadDocument<Recipe> read_recipe(const std::string& text,
                                               const std::string& file_name,
                                               const Fetch& fetch = {});
[[nodiscard]] ReadDocument<RegisterMap> read_register_map(const std::string& text,
                                                          const std::string& file_name);
[[nodiscard]] ReadDocument<FixtureProfile> read_fixture_profile(const std::string& text,
                                                                const std::string& file_name);

// What a recipe asks for that the register map and fixture of a plan do not have: what load_plan()
// would say in the recipe if they stood beside it.
[[nodiscard]] std::vector<document::Diagnostic> misfits(const std::string& recipe_text,
                                                        const std::string& file_name,
                                                        const Fetch& fetch, const Plan& plan);

// The plan of three documents that were checked together; its hash is that of its text.
[[nodiscard]] PlanPtr make_plan(Recipe recipe, RegisterMap map, FixtureProfile fixture);

// Canonical and complete: every value with its unit, defaults and rules written out, always in the
// same order. Equal documents give equal text. read_plan() gives back an equal plan; its hash is
// that of the text it was given, so that a stored plan keeps its name.
[[nodiscard]] std::string plan_text(const Plan& plan);
[[nodiscard]] Loaded read_plan(const std::string& text);

// SHA-256 in hex.
[[nodiscard]] std::string hash_of(const std::string& text);

}  // namespace padtrim::language
