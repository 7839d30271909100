#include "recipes/language/taught_places.hpp"

#include <cmath>
#include <cstdio>

#include "recipes/document/document.hpp"
#include "recipes/document/text_editor.hpp"
#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

using document::List;
using document::Node;

constexpr double hundredths = 100.0;

std::string in_toml(Millimetre length) {
    char text[64];
    const int size = std::snprintf(text, sizeof text, "\"%.2f mm\"", length.value());
    return {text, static_cast<std::size_t>(size)};
}

// The table of this nest; null when it has none of its own.
const Node* table_of(const document::Document& read, std::uint16_t number) {
    const Node* nests = read.root().find("nest");
    const auto* list = nests == nullptr ? nullptr : std::get_if<List>(&nests->value);
    if (list == nullptr) return nullptr;
    for (const Node& nest : *list) {
        const Node* says = nest.find("number");
        const auto* whole = says == nullptr ? nullptr : std::get_if<std::int64_t>(&says->value);
        if (whole != nullptr && *whole == number) return &nest;
    }
    return nullptr;
}

}  // namespace

Millimetre as_written(Millimetre origin) {
    return Millimetre(std::round(origin.value() * hundredths) / hundredths);
}

RefreshedProfile profile_with_origin(const std::string& text, const std::string& file_name,
                                     std::uint16_t nest, Millimetre x, Millimetre y) {
    const auto before = read_fixture_profile(text, file_name);
    if (!before.value || before.value->nest(nest) == nullptr)
        return {"", file_name + " is not a sound fixture profile with a nest " +
                        std::to_string(nest) + "."};
    const document::Document read(file_name, text);
    document::TextEditor editor(text);
    if (const Node* table = table_of(read, nest)) {
        editor.replace(table->find("origin_x"), in_toml(x));
        editor.replace(table->find("origin_y"), in_toml(y));
    }
    FixtureProfile wanted = *before.value;
    for (Nest& each : wanted.nests) {
        if (each.number != nest) continue;
        each.origin_x = as_written(x);
        each.origin_y = as_written(y);
    }
    RefreshedProfile out{editor.text(), ""};
    const auto after = read_fixture_profile(out.text, file_name);
    if (after.value && *after.value == wanted) return out;
    return {"", "the origin of nest " + std::to_string(nest) + " cannot be written into " +
                    file_name +
                    " as it is laid out. Write number, origin_x and origin_y on lines of their "
                    "own in each [[nest]], as the shipped profiles do; and look that the panels "
                    "lie within the finger's travel there (padtrim check)."};
}

}  // namespace padtrim::language
