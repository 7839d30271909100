#include "recipes/document/field_reader.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "recipes/document/nearest.hpp"
#include "recipes/document/toml.hpp"

namespace padtrim::document {
namespace {

std::string in_quotes(std::string_view word) {
    return '"' + std::string(word) + '"';
}

// Bytes of UTF-8 above ASCII are none.
bool is_control(char c) {
    return (c >= 0 && c < ' ' && c != '\t' && c != '\n') || c == '\x7F';
}

std::string range_text(const Range& range, std::string_view unit) {
    if (range.open) return "above " + quantity_text(range.low, unit);
    if (std::isinf(range.high)) return quantity_text(range.low, unit) + " or more";
    return number_text(range.low) + " to " + quantity_text(range.high, unit);
}

}  // namespace

void read_fields(Document& document, const Node& table, const std::string& path,
                 const Fields::Describe& describe) {
    FieldReader reader(document, table, path);
    describe(reader);
    reader.finish();
}

FieldReader::FieldReader(Document& document, const Node& table, std::string path)
    : document_(document), table_(table), path_(std::move(path)) {}

// Unknown keys first: a missing key that somebody nearly wrote is the same mistake, told once.
void FieldReader::finish() {
    report_unknown_keys();
    for (const auto& field : missing_)
        complain(field.key, in_quotes(field.key) + " is missing",
                 "Add " + std::string(field.key) + " here (" + std::string(field.meaning) + ").");
}

void FieldReader::report_unknown_keys() {
    for (const auto& entry : std::get<Table>(table_.value)) {
        if (document_.full()) return;
        if (std::find(known_.begin(), known_.end(), entry.key) != known_.end()) continue;
        auto near = nearest_word(entry.key, absent_keys());
        if (!near) near = nearest_word(entry.key, known_);
        const auto missed = std::find_if(missing_.begin(), missing_.end(), [&](const Field& field) {
            return near && field.key == *near;
        });
        if (ignoring_ && missed == missing_.end()) continue;
        if (missed != missing_.end()) {
            document_.mistrust(path_below(path_, missed->key));
            missing_.erase(missed);
        }
        document_.complain_at(
            entry.place, path_below(path_, entry.key), "unknown key " + in_quotes(entry.key),
            near ? "Did you mean " + in_quotes(*near) + '?' : suggestion(entry.key, known_));
    }
}

// Known keys that are not in the table, those that have to be there first.
std::vector<std::string_view> FieldReader::absent_keys() const {
    std::vector<std::string_view> absent;
    for (const auto& field : missing_) absent.push_back(field.key);
    for (const auto key : known_)
        if (table_.find(key) == nullptr) absent.push_back(key);
    return absent;
}

void FieldReader::know(std::string_view key) {
    if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.push_back(key);
}

const Node* FieldReader::asked(const Field& field) {
    know(field.key);
    const Node* node = table_.find(field.key);
    if (node == nullptr && field.required) missing_.push_back(field);
    return node;
}

template <class T>
const T* FieldReader::typed(const Field& field, std::string_view wanted, std::string_view example) {
    const Node* node = asked(field);
    if (node == nullptr) return nullptr;
    if (const T* value = std::get_if<T>(&node->value)) return value;
    complain(field.key,
             in_quotes(field.key) + " is " + std::string(node->kind()) + "; " +
                 std::string(wanted) + " is wanted here",
             "Write it like " + std::string(field.key) + " = " + std::string(example) + '.');
    return nullptr;
}

void FieldReader::problem(std::string_view key, const TextProblem& what) {
    complain(key, what.message, what.mend);
}

bool FieldReader::within(std::string_view key, double value, std::string_view unit,
                         const Range& range) {
    const bool inside = (range.open ? value > range.low : value >= range.low) &&
                        value <= range.high && std::isfinite(value);
    if (!inside)
        complain(key, quantity_text(value, unit) + " is out of range for " + in_quotes(key),
                 "Allowed is " + range_text(range, unit) + '.');
    return inside;
}

void FieldReader::text(const Field& field, std::string& value) {
    const auto* found = typed<std::string>(field, "a text", "\"...\"");
    if (found == nullptr) return;
    if (found->empty())
        return complain(field.key, in_quotes(field.key) + " is empty", "Write something in it.");
    if (std::any_of(found->begin(), found->end(), is_control))
        return complain(field.key, in_quotes(field.key) + " has a control character in it",
                        "Leave out what nobody can read; a tab or a line end may stand.");
    value = *found;
}

void FieldReader::flag(const Field& field, bool& value) {
    if (const auto* found = typed<bool>(field, "true or false", "true")) value = *found;
}

void FieldReader::whole(const Field& field, std::int64_t& value, const Range& range) {
    const auto* found =
        typed<std::int64_t>(field, "a whole number", field.example.empty() ? "16" : field.example);
    if (found == nullptr) return;
    if (within(field.key, static_cast<double>(*found), "1", range)) value = *found;
}

void FieldReader::real(const Field& field, double& value, const Range& range) {
    const Node* node = table_.find(field.key);
    if (node != nullptr && std::holds_alternative<std::int64_t>(node->value)) {
        asked(field);
        const auto number = static_cast<double>(std::get<std::int64_t>(node->value));
        if (within(field.key, number, "1", range)) value = number;
        return;
    }
    const auto* found = typed<double>(field, "a number", "0.5");
    if (found != nullptr && within(field.key, *found, "1", range)) value = *found;
}

// A text; a bare number gets told what it lacks. `example` makes a right text of a number.
const std::string* FieldReader::text_with_unit(const Field& field, std::string_view unit,
                                               const Example& example) {
    const Node* node = table_.find(field.key);
    const auto* whole_number = node ? std::get_if<std::int64_t>(&node->value) : nullptr;
    const auto* real_number = node ? std::get_if<double>(&node->value) : nullptr;
    if (whole_number == nullptr && real_number == nullptr)
        return typed<std::string>(field, dimension_of(unit), in_quotes(example(2.5)));
    asked(field);
    const double number = whole_number ? static_cast<double>(*whole_number) : *real_number;
    complain(field.key,
             number_text(number) + (unit == "1" ? " is no text" : " has no unit") + "; " +
                 (unit == "1" ? "a limit in quotes" : dimension_of(unit)) + " is wanted here",
             "Write it like " + std::string(field.key) + " = " + in_quotes(example(number)) + '.');
    return nullptr;
}

void FieldReader::quantity(const Field& field, double& value, std::string_view unit,
                           const Range& range) {
    if (unit == "1") return real(field, value, range);
    const auto* found =
        text_with_unit(field, unit, [&](double number) { return quantity_text(number, unit); });
    if (found == nullptr) return;
    const auto parsed = parse_quantity(*found, unit);
    if (!parsed) return problem(field.key, parsed.error());
    if (within(field.key, *parsed, unit, range)) value = *parsed;
}

void FieldReader::quantities(const Field& field, std::vector<double>& values, std::string_view unit,
                             const Range& range) {
    const auto* found =
        text_with_unit(field, unit, [&](double number) { return quantities_text({number}, unit); });
    if (found == nullptr) return;
    const auto parsed = parse_quantities(*found, unit);
    if (!parsed) return problem(field.key, parsed.error());
    for (const double each : *parsed)
        if (!within(field.key, each, unit, range)) return;
    values = *parsed;
}

void FieldReader::limit(const Field& field, Limit& value, std::string_view unit) {
    const auto* found = text_with_unit(field, unit, [&](double number) {
        return limit_text(field.example == "at least" ? Limit{number, {}} : Limit{{}, number},
                          unit);
    });
    if (found == nullptr) return;
    if (*found == limit_taken_away && !field.required) {
        value = {};
        return;
    }
    const auto parsed = parse_limit(*found, unit);
    if (!parsed) return problem(field.key, parsed.error());
    value = *parsed;
}

void FieldReader::choice(const Field& field, std::size_t& value,
                         std::span<const std::string_view> words) {
    const auto* found = typed<std::string>(field, "one of " + listing(words), in_quotes(words[0]));
    if (found == nullptr) return;
    const auto word = std::find(words.begin(), words.end(), *found);
    if (word == words.end())
        return complain(field.key, in_quotes(*found) + " is no choice for " + in_quotes(field.key),
                        suggestion(*found, words));
    value = static_cast<std::size_t>(word - words.begin());
}

void FieldReader::choices(const Field& field, std::vector<std::size_t>& values,
                          std::span<const std::string_view> words) {
    std::vector<std::string> named;
    texts(field, named);
    std::vector<std::size_t> read;
    for (std::size_t i = 0; i < named.size(); ++i) {
        const auto at = path_item(std::string(field.key), i);
        const auto word = std::find(words.begin(), words.end(), named[i]);
        const auto index = static_cast<std::size_t>(word - words.begin());
        if (word == words.end())
            complain(at, in_quotes(named[i]) + " is no choice for " + in_quotes(field.key),
                     suggestion(named[i], words));
        else if (std::find(read.begin(), read.end(), index) != read.end())
            complain(at, in_quotes(named[i]) + " stands here twice", "Write it once.");
        else
            read.push_back(index);
    }
    if (!named.empty()) values = std::move(read);
}

void FieldReader::date(const Field& field, std::string& value) {
    if (const auto* found = typed<Date>(field, "a date without quotes", "2026-03-31"))
        value = found->text;
}

void FieldReader::texts(const Field& field, std::vector<std::string>& values) {
    const auto* list = typed<List>(field, "a list of texts", "[\"...\", \"...\"]");
    if (list == nullptr) return;
    std::vector<std::string> read;
    for (std::size_t i = 0; i < list->size(); ++i) {
        const auto* each = std::get_if<std::string>(&(*list)[i].value);
        if (each == nullptr)
            return complain(path_item(std::string(field.key), i),
                            in_quotes(field.key) + " has " + std::string((*list)[i].kind()) +
                                " in its list; texts are wanted here",
                            "Put it in double quotes.");
        read.push_back(*each);
    }
    values = std::move(read);
}

void FieldReader::wholes(const Field& field, std::vector<std::int64_t>& values,
                         const Range& range) {
    const auto* list = typed<List>(field, "a list of whole numbers", "[0, 1]");
    if (list == nullptr) return;
    std::vector<std::int64_t> read;
    for (std::size_t i = 0; i < list->size(); ++i) {
        const auto at = path_item(std::string(field.key), i);
        const auto* each = std::get_if<std::int64_t>(&(*list)[i].value);
        if (each == nullptr)
            return complain(at,
                            in_quotes(field.key) + " has " + std::string((*list)[i].kind()) +
                                " in its list; whole numbers are wanted here",
                            "Write numbers without quotes and without a point.");
        if (!within(at, static_cast<double>(*each), "1", range)) return;
        read.push_back(*each);
    }
    values = std::move(read);
}

void FieldReader::table(const Field& field, const Describe& describe) {
    if (typed<Table>(field, "a table", "{ ... }") == nullptr) return;
    read_fields(document_, *table_.find(field.key), path_below(path_, field.key), describe);
}

void FieldReader::tables(const Field& field, std::size_t,
                         const std::function<void(std::size_t)>& resize,
                         const DescribeItem& describe) {
    const auto* list = typed<List>(field, "a list of tables", "[{ ... }]");
    if (list == nullptr) return;
    const auto is_table = [](const Node& node) {
        return std::holds_alternative<Table>(node.value);
    };
    if (!std::all_of(list->begin(), list->end(), is_table))
        return complain(field.key,
                        in_quotes(field.key) + " has something else than tables in its list",
                        "Write each item as { key = value, ... } or under [[" +
                            path_below(path_, field.key) + "]].");
    resize(list->size());
    for (std::size_t i = 0; i < list->size(); ++i)
        read_fields(document_, (*list)[i], path_item(path_below(path_, field.key), i),
                    [&](Fields& below) { describe(below, i); });
}

bool FieldReader::present(std::string_view key, bool) {
    know(key);
    return table_.find(key) != nullptr;
}

bool FieldReader::is_text(std::string_view key) {
    const Node* node = table_.find(key);
    return node != nullptr && std::holds_alternative<std::string>(node->value);
}

void FieldReader::complain(std::string_view key, std::string message, std::string mend) {
    document_.complain(key.empty() ? path_ : path_below(path_, key), std::move(message),
                       std::move(mend));
}

}  // namespace padtrim::document
