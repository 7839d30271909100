#include "station/answers/documents_check.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "recipes/document/document.hpp"
#include "recipes/language/layouts.hpp"
#include "recipes/language/load.hpp"
#include "station/answers/readiness.hpp"

namespace padtrim::answers {
namespace {

using document::Diagnostic;
using Array = boost::json::array;
using Object = boost::json::object;

// A document and the product that it is for; none where the document is not good.
struct Filed {
    std::string path;
    std::optional<std::string> product;
};
bool may_go_together(const Filed& a, const Filed& b) {
    return !a.product || !b.product || *a.product == *b.product;
}

struct Desk {
    DocumentsCheck check;
    std::optional<record::WallTime> now;
    std::vector<Filed> recipes, maps, fixtures;

    void add(const std::vector<Diagnostic>& diagnostics) {
        for (const auto& diagnostic : diagnostics) {
            auto& known = check.diagnostics;
            if (std::find(known.begin(), known.end(), diagnostic) == known.end()) {
                known.push_back(diagnostic);
            }
        }
    }
    void add(const std::string& file, const std::string& message, const std::string& mend) {
        Diagnostic diagnostic;
        diagnostic.file = file;
        diagnostic.message = message;
        diagnostic.mend = mend;
        add({diagnostic});
    }
};

template <class T>
void file_away(Desk& desk, std::vector<Filed>& place, const std::string& path,
               const language::ReadDocument<T>& read) {
    place.push_back({path, read.value ? std::optional(read.value->product) : std::nullopt});
    desk.add(read.diagnostics);
}

// The key at the start of a line, before anything but blanks and an equals sign.
bool opens_with(const std::string& text, std::string_view key) {
    for (auto at = text.find(key); at != std::string::npos; at = text.find(key, at + 1)) {
        const auto next = text.find_first_not_of(" \t", at + key.size());
        // A byte order mark may stand before the first line.
        const bool line_start =
            at == 0 || text[at - 1] == '\n' || (at == 3 && text.starts_with("\xEF\xBB\xBF"));
        if (line_start && next != std::string::npos && text[next] == '=') return true;
    }
    return false;
}

void warn(Desk& desk, const std::string& text, const std::string& path, const std::string& key,
          const std::string& what, const std::string& mend) {
    document::Document read(path, text);
    read.complain(key, what, mend);
    for (auto& diagnostic : read.diagnostics())
        desk.check.warnings.push_back(std::move(diagnostic));
}

// At the day that has passed, so that an editor shows it there.
void warn_of_due_references(Desk& desk, const std::string& text, const std::string& path,
                            const language::FixtureProfile& fixture) {
    if (recalibration_due(fixture.equipment, *desk.now).empty()) return;
    warn(desk, text, path, "equipment.recalibration_due",
         "the references were due for recalibration on " + fixture.equipment.recalibration_due,
         "Have them characterised (padtrim reference measure); production is refused until then.");
}

void warn_of_a_finger_without_stop(Desk& desk, const std::string& text, const std::string& path,
                                   const language::FixtureProfile& fixture) {
    if (!fixture.finger || !fixture.finger->stop.empty()) return;
    warn(desk, text, path, "finger",
         "without a stop line nothing but the fixture's hardware ends a way that was begun",
         "Add stop, with discard or resume, if the controller has such lines; padtrim teach wants "
         "them.");
}

void look_at_fixture(Desk& desk, const std::string& text, const std::string& path) {
    const auto read = language::read_fixture_profile(text, path);
    file_away(desk, desk.fixtures, path, read);
    if (!read.value) return;
    if (desk.now) warn_of_due_references(desk, text, path, *read.value);
    warn_of_a_finger_without_stop(desk, text, path, *read.value);
}

void look_at(Desk& desk, const std::string& path) {
    const auto read = language::read_text(path);
    const std::string text = read.value.value_or("");
    const DocumentKind kind = kind_of(text);
    desk.check.documents.push_back({path, kind});
    if (!read.value) return desk.add(read.diagnostics);
    switch (kind) {
        case DocumentKind::recipe:
            return file_away(desk, desk.recipes, path,
                             language::read_recipe(text, path, &language::text_of_file));
        case DocumentKind::register_map:
            return file_away(desk, desk.maps, path, language::read_register_map(text, path));
        case DocumentKind::fixture_profile:
            return look_at_fixture(desk, text, path);
        case DocumentKind::unknown:
            return desk.add(path, "this is no recipe, register map or fixture profile",
                            "Such a document opens with padtrim_recipe = 1, padtrim_register_map "
                            "= 1 or padtrim_fixture = 1.");
    }
}

void check_trio(Desk& desk, const std::string& recipe, const std::string& map,
                const std::string& fixture) {
    const auto loaded = language::load_plan({recipe, map, fixture});
    desk.add(loaded.diagnostics);
    if (!loaded.plan) return;
    const auto& plan = *loaded.plan;
    desk.check.plans.push_back(
        {recipe, map, fixture, plan.recipe.name, plan.recipe.revision, plan.hash});
}

// One map and one profile are meant for each other, whatever product they name; of several, those
// of the recipe's product.
void check_together(Desk& desk) {
    const bool one_pair = desk.maps.size() == 1 && desk.fixtures.size() == 1;
    for (const Filed& recipe : desk.recipes) {
        bool checked = false;
        for (const Filed& map : desk.maps) {
            for (const Filed& fixture : desk.fixtures) {
                const bool fits = may_go_together(recipe, map) && may_go_together(map, fixture) &&
                                  may_go_together(recipe, fixture);
                if (!one_pair && !fits) continue;
                checked = true;
                check_trio(desk, recipe.path, map.path, fixture.path);
            }
        }
        if (!checked) desk.check.alone.push_back(recipe.path);
    }
}

}  // namespace

std::string_view name_of(DocumentKind kind) {
    switch (kind) {
        case DocumentKind::unknown:
            return "unknown";
        case DocumentKind::recipe:
            return "recipe";
        case DocumentKind::register_map:
            return "register map";
        case DocumentKind::fixture_profile:
            return "fixture profile";
    }
    return "";
}

DocumentKind kind_of(const std::string& text) {
    if (opens_with(text, language::recipe_kind)) return DocumentKind::recipe;
    if (opens_with(text, language::map_kind)) return DocumentKind::register_map;
    if (opens_with(text, language::fixture_kind)) return DocumentKind::fixture_profile;
    return DocumentKind::unknown;
}

DocumentsCheck check_documents(const std::vector<std::string>& paths,
                               std::optional<record::WallTime> now) {
    Desk desk;
    desk.now = now;
    for (const auto& path : paths) look_at(desk, path);
    check_together(desk);
    return std::move(desk.check);
}

Json to_json(const Diagnostic& diagnostic) {
    return Object{{"file", diagnostic.file},     {"line", diagnostic.line},
                  {"column", diagnostic.column}, {"message", diagnostic.message},
                  {"mend", diagnostic.mend},     {"source_line", diagnostic.source_line}};
}

Json to_json(const DocumentsCheck& check) {
    Array documents, plans, diagnostics, warnings, alone;
    for (const auto& path : check.alone) alone.push_back(Json(path));
    for (const auto& document : check.documents) {
        const std::string kind(name_of(document.kind));
        documents.push_back(Object{{"path", document.path}, {"kind", kind}});
    }
    for (const auto& plan : check.plans) {
        plans.push_back(Object{{"recipe_path", plan.recipe_path},
                               {"map_path", plan.map_path},
                               {"fixture_path", plan.fixture_path},
                               {"recipe", plan.recipe},
                               {"revision", plan.revision},
                               {"hash", plan.hash}});
    }
    for (const auto& diagnostic : check.diagnostics) diagnostics.push_back(to_json(diagnostic));
    for (const auto& warning : check.warnings) warnings.push_back(to_json(warning));
    return Object{{"good", check.good()},
                  {"documents", std::move(documents)},
                  {"plans", std::move(plans)},
                  {"not_checked_together", std::move(alone)},
                  {"diagnostics", std::move(diagnostics)},
                  {"warnings", std::move(warnings)}};
}

}  // namespace padtrim::answers
