#include "station/answers/schema_fields.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "recipes/document/unit_table.hpp"

namespace padtrim::answers {

namespace {

using boost::json::array;
using boost::json::object;
using boost::json::value;
using document::Field;
using document::Range;

// As the reader takes numbers inside texts.
const std::string number_pattern = "[-+]?([0-9]+(\\.[0-9]*)?|\\.[0-9]+)([eE][-+]?[0-9]+)?";
const std::string blanks = "[ \\t]*", some_blanks = "[ \\t]+";

value text_of(std::string_view words) {
    return boost::json::string(words.data(), words.size());
}

std::string escaped(std::string_view unit) {
    std::string out;
    for (const char c : unit) {
        if (std::string_view("./+*?()[]{}|^$\\").find(c) != std::string_view::npos) out += '\\';
        out += c;
    }
    return out;
}

// Blanks and one of the unit's names; nothing for dimension one.
std::string unit_pattern(std::string_view unit) {
    if (unit == "1") return "";
    std::string names;
    for (const auto name : document::units_like(unit))
        names += (names.empty() ? "" : "|") + escaped(name);
    return blanks + "(" + names + ")";
}

std::string limit_pattern(std::string_view unit, bool required) {
    const std::string behind = unit_pattern(unit);
    const std::string maybe = behind.empty() ? "" : "(" + behind + ")?";
    const std::string range =
        number_pattern + maybe + some_blanks + "to" + some_blanks + number_pattern + behind;
    const std::string side =
        "at" + some_blanks + "(least|most)" + some_blanks + number_pattern + behind;
    return "(" + range + "|" + side + (required ? "" : "|none") + ")";
}

object ranged(object schema, const Range& range) {
    if (!std::isinf(range.low)) schema[range.open ? "exclusiveMinimum" : "minimum"] = range.low;
    if (!std::isinf(range.high)) schema["maximum"] = range.high;
    return schema;
}

object whole_number(const Range& range) {
    object schema{{"type", "integer"}};
    if (!std::isinf(range.low))
        schema["minimum"] = static_cast<std::int64_t>(range.low) + (range.open ? 1 : 0);
    if (!std::isinf(range.high)) schema["maximum"] = static_cast<std::int64_t>(range.high);
    return schema;
}

array words_of(std::span<const std::string_view> words) {
    array all;
    for (const auto word : words) all.push_back(text_of(word));
    return all;
}

object list_of(value item) {
    return {{"type", "array"}, {"items", std::move(item)}};
}

// An address names its table by the key, or two lines stand there instead: one of them.
void want_one_table(object& schema) {
    const auto& properties = schema.at("properties").as_object();
    array one_of;
    for (const auto* table : {"holding", "input", "coil", "discrete"}) {
        if (!properties.contains(table)) continue;
        array required{table};
        if (properties.contains("value")) required.push_back("value");
        one_of.push_back(object{{"required", std::move(required)}});
    }
    for (const auto* line : {"ask", "say"})
        if (properties.contains(line)) one_of.push_back(object{{"required", array{line, "reply"}}});
    if (one_of.size() > 1) schema["oneOf"] = std::move(one_of);
}

}  // namespace

std::string definition_name(std::string words) {
    std::replace(words.begin(), words.end(), ' ', '-');
    return words;
}

object SchemaFields::take() {
    object schema{{"type", "object"},
                  {"properties", std::move(properties_)},
                  {"additionalProperties", false}};
    if (!required_.empty()) schema["required"] = std::move(required_);
    want_one_table(schema);
    return schema;
}

void SchemaFields::put(const Field& field, object schema) {
    schema["description"] = text_of(field.meaning);
    properties_[field.key] = std::move(schema);
    if (field.required) required_.push_back(text_of(field.key));
}

void SchemaFields::put_text(const Field& field, const std::string& pattern) {
    put(field, {{"type", "string"}, {"pattern", "^" + blanks + pattern + blanks + "$"}});
}

void SchemaFields::text(const Field& field, std::string&) {
    put(field, {{"type", "string"}, {"minLength", 1}});
}

void SchemaFields::flag(const Field& field, bool& initial) {
    object schema{{"type", "boolean"}};
    if (!field.required) schema["default"] = initial;
    put(field, std::move(schema));
}

void SchemaFields::whole(const Field& field, std::int64_t&, const Range& range) {
    put(field, whole_number(range));
}

void SchemaFields::real(const Field& field, double&, const Range& range) {
    put(field, ranged({{"type", "number"}}, range));
}

void SchemaFields::quantity(const Field& field, double& initial, std::string_view unit,
                            const Range& range) {
    if (unit == "1") return real(field, initial, range);
    put_text(field, number_pattern + unit_pattern(unit));
}

void SchemaFields::quantities(const Field& field, std::vector<double>&, std::string_view unit,
                              const Range&) {
    put_text(field,
             number_pattern + "(" + some_blanks + number_pattern + ")*" + unit_pattern(unit));
}

void SchemaFields::limit(const Field& field, document::Limit&, std::string_view unit) {
    put_text(field, limit_pattern(unit, field.required));
}

void SchemaFields::choice(const Field& field, std::size_t& initial,
                          std::span<const std::string_view> words) {
    object schema{{"enum", words_of(words)}};
    if (!field.required && initial < words.size()) schema["default"] = text_of(words[initial]);
    put(field, std::move(schema));
}

void SchemaFields::choices(const Field& field, std::vector<std::size_t>&,
                           std::span<const std::string_view> words) {
    object schema = list_of(object{{"enum", words_of(words)}});
    schema["uniqueItems"] = true;
    put(field, std::move(schema));
}

// A date of TOML; tools hand it on as a text (ISO 8601).
void SchemaFields::date(const Field& field, std::string&) {
    put(field, {{"type", "string"}, {"pattern", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}});
}

void SchemaFields::texts(const Field& field, std::vector<std::string>&) {
    put(field, list_of(object{{"type", "string"}}));
}

void SchemaFields::wholes(const Field& field, std::vector<std::int64_t>&, const Range& range) {
    put(field, list_of(whole_number(range)));
}

value SchemaFields::below(const Describe& describe) {
    SchemaFields inner(shapes_);
    describe(inner);
    if (inner.shape_name().empty()) return inner.take();
    const std::string name = definition_name(inner.shape_name());
    object described = inner.take();
    if (!shapes_.contains(name)) shapes_[name] = std::move(described);
    value reference = object{{"$ref", "#/$defs/" + name}};
    // Where the port's name alone would do, it does.
    if (name == "port")
        return object{{"anyOf", array{object{{"type", "string"}, {"minLength", 1}}, reference}}};
    return reference;
}

void SchemaFields::table(const Field& field, const Describe& describe) {
    put(field, below(describe).as_object());
}

void SchemaFields::tables(const Field& field, std::size_t,
                          const std::function<void(std::size_t)>& resize,
                          const DescribeItem& describe) {
    resize(1);
    put(field, list_of(below([&](Fields& fields) { describe(fields, 0); })));
}

}  // namespace padtrim::answers
