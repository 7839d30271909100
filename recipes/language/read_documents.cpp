#include "recipes/language/read_documents.hpp"

#include <type_traits>
#include <utility>

#include "recipes/document/field_reader.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/layouts.hpp"

namespace padtrim::language {
namespace {

using document::Document;
using document::Node;

struct Kind {
    std::string_view key, words;
};
constexpr Kind kinds[] = {{recipe_kind, "a recipe"},
                          {map_kind, "a register map"},
                          {fixture_kind, "a fixture profile"},
                          {plan_kind, "a plan"}};

template <class T>
constexpr std::string_view kind_of();
template <>
constexpr std::string_view kind_of<Recipe>() {
    return recipe_kind;
}
template <>
constexpr std::string_view kind_of<RegisterMap>() {
    return map_kind;
}
template <>
constexpr std::string_view kind_of<FixtureProfile>() {
    return fixture_kind;
}

std::string words_of(std::string_view key) {
    for (const auto& kind : kinds)
        if (kind.key == key) return std::string(kind.words);
    return std::string(key);
}

// Nothing else is worth saying about a document of another kind or of a newer layout.
bool right_kind(Document& document, std::string_view wanted) {
    for (const auto& kind : kinds) {
        if (kind.key == wanted || document.root().find(kind.key) == nullptr) continue;
        document.complain(
            std::string(kind.key),
            "this is " + std::string(kind.words) + "; " + words_of(wanted) + " is wanted here",
            "Were two files exchanged?");
        return false;
    }
    const Node* version = document.root().find(wanted);
    const auto* number = version ? std::get_if<std::int64_t>(&version->value) : nullptr;
    if (number == nullptr || *number <= layout_version) return true;
    document.complain(std::string(wanted),
                      "this document has layout " + std::to_string(*number) +
                          "; this padtrim knows layouts up to " + std::to_string(layout_version),
                      "Use a newer padtrim for it.");
    return false;
}

}  // namespace

template <class T>
T read_part(Document& document, const Node& table, const std::string& path) {
    T value;
    document::read_fields(document, table, path,
                          [&](document::Fields& fields) { describe(fields, value); });
    return value;
}

template <class T>
Reading<T> read_document(std::string text, const std::string& file_name, const Fetch& fetch) {
    Reading<T> reading{Document(file_name, std::move(text)), {}};
    auto& document = reading.document;
    const bool may_have_base = std::is_same_v<T, Recipe>;
    if (!document.clean() || !right_kind(document, kind_of<T>()) ||
        (may_have_base && !follow_bases(document, fetch))) {
        document.give_up();
        return reading;
    }
    reading.value = read_part<T>(document, document.root(), "");
    check_document(document, reading.value);
    return reading;
}

template Recipe read_part(Document&, const Node&, const std::string&);
template RegisterMap read_part(Document&, const Node&, const std::string&);
template FixtureProfile read_part(Document&, const Node&, const std::string&);
template Reading<Recipe> read_document(std::string, const std::string&, const Fetch&);
template Reading<RegisterMap> read_document(std::string, const std::string&, const Fetch&);
template Reading<FixtureProfile> read_document(std::string, const std::string&, const Fetch&);

}  // namespace padtrim::language
