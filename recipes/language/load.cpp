#include "recipes/language/load.hpp"

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <utility>

#include "recipes/document/field_reader.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/read_documents.hpp"

namespace padtrim::language {
namespace {

using document::Diagnostic;

// A larger file is no document of ours.
constexpr std::size_t largest_file = 4U << 20U;

Diagnostic of_file(const std::string& file, std::string message, std::string mend) {
    return {file, 1, 1, std::move(message), std::move(mend), ""};
}

template <class T>
ReadDocument<T> read_one(const std::string& text, const std::string& file_name,
                         const Fetch& fetch = {}) {
    auto reading = read_document<T>(text, file_name, fetch);
    ReadDocument<T> result;
    result.diagnostics = reading.document.diagnostics();
    if (result.diagnostics.empty()) result.value = std::move(reading.value);
    return result;
}

template <class T>
std::optional<Reading<T>> read_file(const std::string& path, std::vector<Diagnostic>& problems) {
    auto text = read_text(path);
    problems.insert(problems.end(), text.diagnostics.begin(), text.diagnostics.end());
    if (!text.value) return std::nullopt;
    return read_document<T>(std::move(*text.value), path, &text_of_file);
}

template <class T>
void append(std::vector<Diagnostic>& all, const std::optional<Reading<T>>& reading) {
    if (!reading) return;
    const auto some = reading->document.diagnostics();
    all.insert(all.end(), some.begin(), some.end());
}

}  // namespace

ReadDocument<std::string> read_text(const std::string& path) {
    // A pipe or a device would be waited for, for ever.
    std::error_code ignored;
    const auto kind = std::filesystem::status(path, ignored).type();
    if (kind != std::filesystem::file_type::regular &&
        kind != std::filesystem::file_type::directory &&
        kind != std::filesystem::file_type::not_found)
        return {{},
                {of_file(path, "this file cannot be read: it is no regular file",
                         "Name a file that holds the document.")}};
    errno = 0;
    std::ifstream file(path, std::ios::binary);
    std::string text(largest_file + 1, '\0');
    file.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(file.gcount()));
    if (text.size() > largest_file)
        return {{}, {of_file(path, "this file is larger than 4 MiB", "Is it the right one?")}};
    if (file.bad() || !file.eof()) {
        const std::string why = errno == 0 ? "no such file" : std::strerror(errno);
        return {{},
                {of_file(path, "this file cannot be read: " + why,
                         "Check the path and its permissions.")}};
    }
    return {std::move(text), {}};
}

std::optional<std::string> text_of_file(const std::string& path) {
    return read_text(path).value;
}

ReadDocument<Recipe> read_recipe(const std::string& text, const std::string& file_name,
                                 const Fetch& fetch) {
    return read_one<Recipe>(text, file_name, fetch);
}

ReadDocument<RegisterMap> read_register_map(const std::string& text, const std::string& file_name) {
    return read_one<RegisterMap>(text, file_name);
}

ReadDocument<FixtureProfile> read_fixture_profile(const std::string& text,
                                                  const std::string& file_name) {
    return read_one<FixtureProfile>(text, file_name);
}

std::vector<Diagnostic> misfits(const std::string& recipe_text, const std::string& file_name,
                                const Fetch& fetch, const Plan& plan) {
    auto recipe = read_document<Recipe>(recipe_text, file_name, fetch);
    Reading<RegisterMap> map{document::Document(plan.map.product, ""), plan.map};
    Reading<FixtureProfile> fixture{document::Document(plan.fixture.fixture, ""), plan.fixture};
    check_together(recipe, map, fixture);
    return recipe.document.diagnostics();
}

Loaded load_plan(const DocumentPaths& paths) {
    Loaded loaded;
    auto recipe = read_file<Recipe>(paths.recipe, loaded.diagnostics);
    auto map = read_file<RegisterMap>(paths.map, loaded.diagnostics);
    auto fixture = read_file<FixtureProfile>(paths.fixture, loaded.diagnostics);
    if (recipe && map && fixture) check_together(*recipe, *map, *fixture);
    append(loaded.diagnostics, recipe);
    append(loaded.diagnostics, map);
    append(loaded.diagnostics, fixture);
    if (loaded.diagnostics.empty())
        loaded.plan =
            make_plan(std::move(recipe->value), std::move(map->value), std::move(fixture->value));
    return loaded;
}

}  // namespace padtrim::language
