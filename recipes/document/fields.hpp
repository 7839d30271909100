// A document's layout, written once: describe(Fields&, Thing&) names each field with its meaning,
// and reading, writing and documenting are three implementations of Fields.
//
//   void describe(Fields& f, Finger& finger) {
//       f.add(may("kind", "what the probe is made of"), finger.kind);
//       f.add(must("diameter", "of the probe's face"), finger.diameter, above(0));
//   }
//
// Reading takes missing optional fields from the value that it was given, so defaults stand in the
// structs only. Nothing throws; the reader collects problems in its Document.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "recipes/document/quantity_text.hpp"
#include "recipes/quantity/quantity.hpp"

namespace padtrim::document {

struct Field {
    std::string_view key;
    std::string_view meaning;
    bool required = true;
    std::string_view example{};  // of a whole number, or the words that begin a limit
};
[[nodiscard]] constexpr Field must(std::string_view key, std::string_view meaning) {
    return {key, meaning, true};
}
[[nodiscard]] constexpr Field may(std::string_view key, std::string_view meaning) {
    return {key, meaning, false};
}

// Allowed numbers, in the field's own unit; `open` leaves `low` itself out.
struct Range {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    bool open = false;
};
[[nodiscard]] constexpr Range between(double low, double high) {
    return {low, high, false};
}
[[nodiscard]] constexpr Range above(double low) {
    return {low, std::numeric_limits<double>::infinity(), true};
}
[[nodiscard]] constexpr Range at_least(double low) {
    return {low, std::numeric_limits<double>::infinity(), false};
}

// The words of an enumeration, in the order of its values, which count from 0: one specialisation
// of `words` beside each enum's layout.
template <class E>
struct Words;

class Fields {
  public:
    using Describe = std::function<void(Fields&)>;
    using DescribeItem = std::function<void(Fields&, std::size_t)>;

    virtual ~Fields() = default;

    virtual void text(const Field&, std::string& value) = 0;
    virtual void flag(const Field&, bool& value) = 0;
    virtual void whole(const Field&, std::int64_t& value, const Range&) = 0;
    virtual void real(const Field&, double& value, const Range&) = 0;
    virtual void quantity(const Field&, double& value, std::string_view unit, const Range&) = 0;
    virtual void quantities(const Field&, std::vector<double>& values, std::string_view unit,
                            const Range&) = 0;
    virtual void limit(const Field&, Limit& value, std::string_view unit) = 0;
    virtual void choice(const Field&, std::size_t& value,
                        std::span<const std::string_view> words) = 0;
    // Several of the words, each once at most.
    virtual void choices(const Field&, std::vector<std::size_t>& values,
                         std::span<const std::string_view> words) = 0;
    virtual void date(const Field&, std::string& value) = 0;
    virtual void texts(const Field&, std::vector<std::string>& values) = 0;
    virtual void wholes(const Field&, std::vector<std::int64_t>& values, const Range&) = 0;
    virtual void table(const Field&, const Describe&) = 0;
    // `count` items before; resize() is called with the number that will be described.
    virtual void tables(const Field&, std::size_t count,
                        const std::function<void(std::size_t)>& resize, const DescribeItem&) = 0;

    // Whether an optional part is there: in the document when reading, else `now`.
    virtual bool present(std::string_view key, bool now) = 0;
    // Whether the document has a text where a table would do too; false when not reading.
    virtual bool is_text(std::string_view key) = 0;
    // Only when reading: a problem of the field, or of the whole table for "".
    virtual void complain(std::string_view key, std::string message, std::string mend) = 0;
    [[nodiscard]] virtual bool reading() const = 0;
    // The canonical text has no shorthands: what they stand for is written out.
    [[nodiscard]] virtual bool writing() const = 0;
    // Names the form of the table at hand ("register"), so that a reference explains it once.
    virtual void shape(std::string_view name) = 0;
    // Only when reading: keys that nobody asked for are let through, since an earlier problem in
    // this table leaves open what they mean.
    virtual void ignore_rest() = 0;

    // The same for the types that the program keeps.
    void add(const Field& field, std::string& value) { text(field, value); }
    void add(const Field& field, bool& value) { flag(field, value); }
    void add(const Field& field, double& value, const Range& range = {}) {
        real(field, value, range);
    }
    void add(const Field& field, std::vector<std::string>& values) { texts(field, values); }

    template <class U>
    void add(const Field& field, Quantity<U>& value, const Range& range = {}) {
        double number = value.value();
        quantity(field, number, U::symbol, range);
        value = Quantity<U>(number);
    }
    template <class U>
    void add(const Field& field, Interval<Quantity<U>>& value) {
        Limit both;
        if (value.low) both.low = value.low->value();
        if (value.high) both.high = value.high->value();
        limit(field, both, U::symbol);
        value = {};
        if (both.low) value.low = Quantity<U>(*both.low);
        if (both.high) value.high = Quantity<U>(*both.high);
    }
    template <class U>
    void add(const Field& field, std::vector<Quantity<U>>& values, const Range& range = {}) {
        std::vector<double> numbers;
        for (const auto& each : values) numbers.push_back(each.value());
        quantities(field, numbers, U::symbol, range);
        values.clear();
        for (const double each : numbers) values.push_back(Quantity<U>(each));
    }
    void add(const Field& field, std::chrono::milliseconds& value,
             const Range& range = between(0, 3'600'000));

    template <class I>
    requires(std::is_integral_v<I> &&
             !std::is_same_v<I, bool>) void add(const Field& field, I& value,
                                                const Range& range = range_of<I>()) {
        auto number = static_cast<std::int64_t>(value);
        whole(field, number, range);
        value = static_cast<I>(number);
    }
    template <class I>
    requires(std::is_integral_v<I>) void add(const Field& field, std::vector<I>& values,
                                             const Range& range = range_of<I>()) {
        std::vector<std::int64_t> numbers(values.begin(), values.end());
        wholes(field, numbers, range);
        values.clear();
        for (const auto each : numbers) values.push_back(static_cast<I>(each));
    }
    template <class E>
    requires(std::is_enum_v<E>) void add(const Field& field, E& value) {
        auto index = static_cast<std::size_t>(value);
        choice(field, index, Words<E>::words);
        value = static_cast<E>(index);
    }
    template <class E>
    requires(std::is_enum_v<E>) void add(const Field& field, std::vector<E>& values) {
        std::vector<std::size_t> indices;
        for (const E each : values) indices.push_back(static_cast<std::size_t>(each));
        choices(field, indices, Words<E>::words);
        values.clear();
        for (const auto each : indices) values.push_back(static_cast<E>(each));
    }
    // A struct with its own describe(), as a table.
    template <class T>
    requires(std::is_class_v<T>) void add(const Field& field, T& value) {
        table(field, [&](Fields& below) { describe(below, value); });
    }
    template <class T>
    requires(std::is_class_v<T>) void add(const Field& field, std::vector<T>& values) {
        tables(
            field, values.size(), [&](std::size_t count) { values.resize(count); },
            [&](Fields& below, std::size_t index) { describe(below, values[index]); });
    }
    template <class T, class... More>
    void add(const Field& field, std::optional<T>& value, const More&... more) {
        if (!present(field.key, value.has_value())) return value.reset();
        T inner = value.value_or(T{});
        add(Field{field.key, field.meaning, false}, inner, more...);
        value = std::move(inner);
    }

  private:
    template <class I>
    static constexpr Range range_of() {
        return between(static_cast<double>(std::numeric_limits<I>::min()),
                       static_cast<double>(std::numeric_limits<I>::max()));
    }
};

}  // namespace padtrim::document
