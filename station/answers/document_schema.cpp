#include "station/answers/document_schema.hpp"

#include <utility>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>

#include "recipes/language/layouts.hpp"
#include "recipes/language/step_declarations.hpp"
#include "station/answers/schema_fields.hpp"

namespace padtrim::answers {
namespace {

using boost::json::array;
using boost::json::object;
using boost::json::value;

// What may stand in a step only when the recipe is based on another.
constexpr const char* change_keys[] = {"before", "after", "drop"};

template <class T>
object described(object& shapes) {
    T document;
    SchemaFields fields(shapes);
    language::describe(fields, document);
    return fields.take();
}

object& properties_of(object& schema) {
    return schema["properties"].as_object();
}

// One kind of step with all its keys.
object step_schema(const language::StepDeclaration& declaration, object& shapes) {
    language::Step step;
    step.body = declaration.initial;
    SchemaFields fields(shapes);
    language::describe(fields, step);
    object schema = fields.take();
    const std::string name(declaration.name);
    properties_of(schema)["do"] = object{{"const", name}};
    properties_of(schema)["name"].as_object()["default"] = name;
    schema["description"] = std::string(declaration.purpose);
    return schema;
}

object whole_step(object schema) {
    for (const char* key : change_keys) properties_of(schema).erase(key);
    return schema;
}

// A change of a step leaves out what stays as it is.
object changed_step(object schema) {
    schema.erase("required");
    auto& properties = properties_of(schema);
    if (properties.contains("limits")) properties["limits"].as_object().erase("required");
    return schema;
}

object reference_to(const std::string& definition) {
    return {{"$ref", "#/$defs/" + definition}};
}

void put_steps(object& schema, object& definitions) {
    array names, by_kind, any_change;
    for (const auto& declaration : language::step_declarations()) {
        const std::string name(declaration.name);
        const std::string slug = definition_name(name);
        const object step = step_schema(declaration, definitions);
        definitions["step-" + slug] = whole_step(step);
        definitions["change-of-" + slug] = changed_step(step);
        names.push_back(boost::json::string(name));
        by_kind.push_back(
            object{{"if", object{{"properties", object{{"do", object{{"const", name}}}}},
                                 {"required", array{"do"}}}},
                   {"then", reference_to("step-" + slug)}});
        any_change.push_back(reference_to("change-of-" + slug));
    }
    definitions["step"] = object{{"type", "object"},
                                 {"properties", object{{"do", object{{"enum", std::move(names)}}}}},
                                 {"required", array{"do"}},
                                 {"allOf", std::move(by_kind)}};
    definitions["change"] =
        object{{"type", "object"},
               {"anyOf", std::move(any_change)},
               {"allOf", array{object{{"anyOf", array{object{{"required", array{"do"}}},
                                                      object{{"required", array{"name"}}}}}}}}};
    const auto steps_of = [](const char* item) {
        return object{{"properties",
                       object{{"step", object{{"type", "array"}, {"items", reference_to(item)}}}}}};
    };
    properties_of(schema)["step"].as_object().erase("items");
    object own = steps_of("step");
    own["required"] = array{"product", "step"};
    schema["if"] = object{{"required", array{"based_on"}}};
    schema["then"] = steps_of("change");
    schema["else"] = std::move(own);
    schema["required"] = array{std::string(language::recipe_kind), "name", "revision"};
}

void pretty(std::string& out, const Json& json, std::size_t indent) {
    const auto line = [&](std::size_t depth) { out += '\n' + std::string(2 * depth, ' '); };
    const auto list = [&](const auto& members, char open, char close, auto each) {
        out += open;
        bool first = true;
        for (const auto& member : members) {
            if (!std::exchange(first, false)) out += ',';
            line(indent + 1);
            each(member);
        }
        if (!members.empty()) line(indent);
        out += close;
    };
    if (const auto* members = json.if_object())
        return list(*members, '{', '}', [&](const auto& member) {
            out += boost::json::serialize(value(boost::json::string(member.key()))) + ": ";
            pretty(out, member.value(), indent + 1);
        });
    if (const auto* items = json.if_array())
        return list(*items, '[', ']', [&](const auto& item) { pretty(out, item, indent + 1); });
    out += boost::json::serialize(json);
}

}  // namespace

Json document_schema(DocumentKind kind) {
    object definitions, schema;
    std::string key;
    if (kind == DocumentKind::recipe) {
        schema = described<language::Recipe>(definitions);
        key = language::recipe_kind;
        put_steps(schema, definitions);
    } else if (kind == DocumentKind::register_map) {
        schema = described<language::RegisterMap>(definitions);
        key = language::map_kind;
    } else {
        schema = described<language::FixtureProfile>(definitions);
        key = language::fixture_kind;
    }
    properties_of(schema)[key].as_object()["maximum"] = language::layout_version;
    object whole{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                 {"title", "padtrim " + std::string(name_of(kind))}};
    for (auto& member : schema) whole[member.key()] = std::move(member.value());
    whole["$defs"] = std::move(definitions);
    return whole;
}

std::string pretty_text(const Json& json) {
    std::string out;
    pretty(out, json, 0);
    return out;
}

}  // namespace padtrim::answers
