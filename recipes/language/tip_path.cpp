#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;
using document::Node;

const document::List* list_at(const Document& document, std::string_view path) {
    return std::get_if<document::List>(&document::nearest_node(document.root(), path).value);
}

template <class T, class V>
bool holds(const Node& table, std::string_view key, const V& wanted) {
    const Node* node = table.find(key);
    const T* value = node ? std::get_if<T>(&node->value) : nullptr;
    return value != nullptr && *value == wanted;
}

}  // namespace

std::string tip_path(const Document& document, const CharacterisedStep& step) {
    const auto* entries = list_at(document, "equipment.step");
    for (std::size_t i = 0; entries != nullptr && i < entries->size(); ++i)
        if (holds<std::string>((*entries)[i], "reference", step.reference) &&
            holds<std::int64_t>((*entries)[i], "nest", step.nest) &&
            holds<std::int64_t>((*entries)[i], "channel", step.channel))
            return item_path("equipment.step", i);
    const auto* rules = list_at(document, "equipment.reference");
    for (std::size_t i = 0; rules != nullptr && i < rules->size(); ++i)
        if (holds<std::string>((*rules)[i], "name", step.reference))
            return item_path("equipment.reference", i);
    return "equipment";
}

}  // namespace padtrim::language
