#include "station/answers/named.hpp"

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using ledger::NameKind;

constexpr std::size_t most_named = 8;

std::string_view word_of(NameKind kind) {
    switch (kind) {
        case NameKind::station:
            return "station";
        case NameKind::product:
            return "product";
        case NameKind::recipe:
            return "recipe";
        case NameKind::recipe_revision:
            return "revision";
        case NameKind::fixture:
            return "fixture";
        case NameKind::check:
            return "check";
        case NameKind::key:
            return "key";
        case NameKind::step:
            return "step";
    }
    return "";
}

std::string listed(const std::vector<std::string>& names) {
    std::string words;
    for (std::size_t i = 0; i < std::min(names.size(), most_named); ++i)
        words += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + printable(names[i], 40);
    if (names.size() > most_named)
        words += " and " + std::to_string(names.size() - most_named) + " more";
    return words;
}

}  // namespace

journal::Stored<std::string> wrong_with_named(ledger::Reader& reader, NameKind kind,
                                              const std::string& name) {
    const auto names = reader.names(kind);
    if (!names) return names.error();
    if (std::find(names->begin(), names->end(), name) != names->end()) return std::string();
    const std::string wrong =
        "No " + std::string(word_of(kind)) + " '" + printable(name, 60) + "' in these records";
    if (names->empty()) return wrong + ": they name none yet.";
    return wrong + (names->size() == 1 ? ": there is " : ": there are ") + listed(*names) + ".";
}

journal::Stored<std::string> wrong_with_names_of(ledger::Reader& reader, const QualityWish& wish) {
    const std::pair<NameKind, const std::optional<std::string>&> given[] = {
        {NameKind::station, wish.station}, {NameKind::product, wish.product},
        {NameKind::recipe, wish.recipe},   {NameKind::recipe_revision, wish.recipe_revision},
        {NameKind::fixture, wish.fixture}, {NameKind::check, wish.check},
        {NameKind::key, wish.key},         {NameKind::step, wish.step}};
    for (const auto& [kind, name] : given) {
        if (!name) continue;
        auto wrong = wrong_with_named(reader, kind, *name);
        if (!wrong || !wrong->empty()) return wrong;
    }
    return std::string();
}

}  // namespace padtrim::answers
