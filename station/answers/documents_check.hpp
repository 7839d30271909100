// Recipes, register maps and fixture profiles given in any order: which is which, and everything
// that is wrong with them, alone and together. Reads the files; changes nothing.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "recipes/document/diagnostic.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

enum class DocumentKind { unknown, recipe, register_map, fixture_profile };
[[nodiscard]] std::string_view name_of(DocumentKind kind);
// By the key with which each document opens; the rest need not be right.
[[nodiscard]] DocumentKind kind_of(const std::string& text);

struct CheckedDocument {
    std::string path;
    DocumentKind kind = DocumentKind::unknown;
};
// A recipe that was checked together with map and profile and found good.
struct CheckedPlan {
    std::string recipe_path, map_path, fixture_path, recipe, revision, hash;
};
struct DocumentsCheck {
    std::vector<CheckedDocument> documents;
    std::vector<CheckedPlan> plans;
    std::vector<std::string> alone;  // recipes without a map and a profile of their product
    std::vector<document::Diagnostic> diagnostics;
    std::vector<document::Diagnostic> warnings;  // good, but with something to know
    [[nodiscard]] bool good() const { return diagnostics.empty(); }
};

// Every recipe is also checked together with each pair of register map and fixture profile of its
// product, and with a single pair whatever its product. Without a time nothing is due.
[[nodiscard]] DocumentsCheck check_documents(const std::vector<std::string>& paths,
                                             std::optional<record::WallTime> now = {});

[[nodiscard]] Json to_json(const document::Diagnostic& diagnostic);
[[nodiscard]] Json to_json(const DocumentsCheck& check);

}  // namespace padtrim::answers
