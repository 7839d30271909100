#include "recipes/document/field_writer.hpp"

namespace padtrim::document {

// A required text is never empty and an optional one reads back as empty when left out.
void FieldWriter::text(const Field& field, std::string& value) {
    if (!value.empty()) put(field, value);
}

void FieldWriter::flag(const Field& field, bool& value) {
    put(field, value);
}

void FieldWriter::whole(const Field& field, std::int64_t& value, const Range&) {
    put(field, value);
}

void FieldWriter::real(const Field& field, double& value, const Range&) {
    put(field, value);
}

void FieldWriter::quantity(const Field& field, double& value, std::string_view unit, const Range&) {
    if (unit == "1") return put(field, value);
    put(field, quantity_text(value, unit));
}

void FieldWriter::quantities(const Field& field, std::vector<double>& values, std::string_view unit,
                             const Range&) {
    if (!values.empty()) put(field, quantities_text(values, unit));
}

void FieldWriter::limit(const Field& field, Limit& value, std::string_view unit) {
    if (value.low || value.high) put(field, limit_text(value, unit));
}

void FieldWriter::choice(const Field& field, std::size_t& value,
                         std::span<const std::string_view> words) {
    put(field, std::string(words[value]));
}

void FieldWriter::choices(const Field& field, std::vector<std::size_t>& values,
                          std::span<const std::string_view> words) {
    List list;
    for (const auto each : values) list.push_back({std::string(words[each]), {}});
    if (!list.empty()) put(field, std::move(list));
}

void FieldWriter::date(const Field& field, std::string& value) {
    if (!value.empty()) put(field, Date{value});
}

void FieldWriter::texts(const Field& field, std::vector<std::string>& values) {
    List list;
    for (const auto& each : values) list.push_back({each, {}});
    put(field, std::move(list));
}

void FieldWriter::wholes(const Field& field, std::vector<std::int64_t>& values, const Range&) {
    List list;
    for (const auto each : values) list.push_back({each, {}});
    put(field, std::move(list));
}

void FieldWriter::table(const Field& field, const Describe& describe) {
    FieldWriter below;
    describe(below);
    put(field, std::move(below.table_));
}

void FieldWriter::tables(const Field& field, std::size_t count,
                         const std::function<void(std::size_t)>&, const DescribeItem& describe) {
    List list;
    for (std::size_t i = 0; i < count; ++i) {
        FieldWriter below;
        describe(below, i);
        list.push_back(below.take());
    }
    put(field, std::move(list));
}

}  // namespace padtrim::document
