#include "recipes/document/quantity_text.hpp"

#include <charconv>
#include <cmath>

#include "recipes/document/nearest.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/document/unit_table.hpp"

namespace padtrim::document {
namespace {

TextProblem problem(std::string message, std::string mend) {
    return {std::move(message), std::move(mend)};
}

std::string example(std::string_view unit) {
    return "Write it like \"" + quantity_text(2.5, unit) + "\".";
}

std::vector<std::string_view> words_of(std::string_view text) {
    std::vector<std::string_view> words;
    while (true) {
        const auto begin = text.find_first_not_of(" \t");
        if (begin == std::string_view::npos) return words;
        text.remove_prefix(begin);
        const auto end = text.find_first_of(" \t");
        words.push_back(text.substr(0, end));
        if (end == std::string_view::npos) return words;
        text.remove_prefix(end);
    }
}

std::optional<double> number_of(std::string_view word) {
    if (word.starts_with('+') && !word.starts_with("+-")) word.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (error != std::errc() || end != word.data() + word.size()) return std::nullopt;
    if (!std::isfinite(value)) return std::nullopt;
    return value;
}

// The unit that a text names, when it measures what `wanted` measures.
FromText<const UnitName*> unit_of(std::string_view name, std::string_view wanted) {
    const UnitName* unit = find_unit(name);
    if (unit == nullptr) {
        const auto known = units_like(wanted);
        return problem(
            "\"" + std::string(name) + "\" is no unit; " + dimension_of(wanted) + " is wanted here",
            suggestion(name, known));
    }
    if (unit->base != wanted)
        return problem(
            '"' + std::string(name) + "\" measures " + dimension_of(unit->base) + "; " +
                dimension_of(wanted) + " is wanted here",
            "Give the value in " + (wanted == "1" ? "a plain number" : std::string(wanted)) + '.');
    return unit;
}

double in_base(double value, const UnitName& unit) {
    return value * unit.times / unit.over;
}

TextProblem no_number(std::string_view word, std::string_view unit) {
    return problem('"' + std::string(word) + "\" is not a number", example(unit));
}

// A number followed by its unit; dimension one has none.
FromText<double> number_with_unit(std::string_view word, std::optional<std::string_view> unit_word,
                                  std::string_view wanted) {
    const auto number = number_of(word);
    if (!number) return no_number(word, wanted);
    if (!unit_word) {
        if (wanted == "1") return *number;
        return problem(
            "\"" + std::string(word) + "\" has no unit; " + dimension_of(wanted) +
                " is wanted here",
            "Write the unit behind it: \"" + std::string(word) + ' ' + std::string(wanted) + "\".");
    }
    const auto unit = unit_of(*unit_word, wanted);
    if (!unit) return unit.error();
    const double value = in_base(*number, **unit);
    if (!std::isfinite(value)) return no_number(word, wanted);
    return value;
}

// "2.2pF": blanks between number and unit may be left out.
std::vector<std::string_view> split_glued(std::vector<std::string_view> words) {
    if (words.empty() || number_of(words.back()) || words.back().empty()) return words;
    const auto last = words.back();
    double value = 0.0;
    const auto end = std::from_chars(last.data(), last.data() + last.size(), value).ptr;
    const auto used = static_cast<std::size_t>(end - last.data());
    if (used == 0) return words;
    words.back() = last.substr(0, used);
    words.push_back(last.substr(used));
    return words;
}

FromText<double> tail_quantity(const std::vector<std::string_view>& words, std::size_t from,
                               std::string_view unit, std::string_view form) {
    const std::size_t count = words.size() - from;
    if (count == 1) return number_with_unit(words[from], std::nullopt, unit);
    if (count == 2) return number_with_unit(words[from], words[from + 1], unit);
    return problem("this is not " + std::string(form), example(unit));
}

TextProblem no_limit(std::string_view text, std::string_view unit) {
    return problem('"' + std::string(text) + "\" is not a limit",
                   "Write \"" + limit_text({1.0, 2.0}, unit) + "\", \"" +
                       limit_text({1.0, {}}, unit) + "\" or \"" + limit_text({{}, 2.0}, unit) +
                       "\".");
}

FromText<Limit> two_sided(const std::vector<std::string_view>& words, std::size_t to,
                          std::string_view text, std::string_view unit) {
    if (to == 0 || to > 2 || words.size() < to + 2) return no_limit(text, unit);
    if (!number_of(words[0]) || !number_of(words[to + 1])) return no_limit(text, unit);
    const auto high = tail_quantity(words, to + 1, unit, "a limit");
    if (!high) return high.error();
    // The unit may stand once, at the end, for both sides.
    const auto shared = words.size() == to + 3 ? std::optional(words.back()) : std::nullopt;
    const auto low = number_with_unit(words[0], to == 2 ? std::optional(words[1]) : shared, unit);
    if (!low) return low.error();
    if (*low >= *high)
        return problem("this limit is empty: nothing lies between " + quantity_text(*low, unit) +
                           " and " + quantity_text(*high, unit),
                       "Write the smaller value first.");
    return Limit{*low, *high};
}

}  // namespace

FromText<double> parse_quantity(std::string_view text, std::string_view unit) {
    const auto words = split_glued(words_of(text));
    if (words.empty())
        return problem("this is empty; " + dimension_of(unit) + " is wanted here", example(unit));
    return tail_quantity(words, 0, unit, "a quantity");
}

FromText<std::vector<double>> parse_quantities(std::string_view text, std::string_view unit) {
    const auto words = split_glued(words_of(text));
    const bool has_unit = unit != "1" && words.size() > 1 && !number_of(words.back());
    const std::size_t count = words.size() - (has_unit ? 1 : 0);
    if (count == 0)
        return problem("this is empty; values and their unit are wanted here",
                       "Write it like \"" + quantities_text({1.0, 2.0}, unit) + "\".");
    const auto unit_word = has_unit ? std::optional(words.back()) : std::nullopt;
    std::vector<double> values;
    for (std::size_t i = 0; i < count; ++i) {
        const auto value = number_with_unit(words[i], unit_word, unit);
        if (!value) return value.error();
        values.push_back(*value);
    }
    return values;
}

FromText<Limit> parse_limit(std::string_view text, std::string_view unit) {
    const auto words = split_glued(words_of(text));
    if (words.size() >= 3 && words[0] == "at" && (words[1] == "least" || words[1] == "most")) {
        const auto value = tail_quantity(words, 2, unit, "a limit");
        if (!value) return value.error();
        return words[1] == "least" ? Limit{*value, {}} : Limit{{}, *value};
    }
    for (std::size_t i = 0; i < words.size(); ++i)
        if (words[i] == "to") return two_sided(words, i, text, unit);
    return no_limit(text, unit);
}

std::string quantity_text(double value, std::string_view unit) {
    return number_text(value) + (unit == "1" ? "" : ' ' + std::string(unit));
}

std::string rounded(double value) {
    return number_text(std::round(value * 1e4) / 1e4);
}

std::string quantities_text(const std::vector<double>& values, std::string_view unit) {
    std::string out;
    for (const double value : values) out += (out.empty() ? "" : " ") + number_text(value);
    return out + (unit == "1" ? "" : ' ' + std::string(unit));
}

std::string limit_text(const Limit& limit, std::string_view unit) {
    if (limit.low && limit.high)
        return number_text(*limit.low) + " to " + quantity_text(*limit.high, unit);
    if (limit.low) return "at least " + quantity_text(*limit.low, unit);
    return "at most " + quantity_text(limit.high.value_or(0.0), unit);
}

}  // namespace padtrim::document
