// Quantities with units as people write them, and limits over them.
//
//   quantity   "2.2 pF"   "15 ms"   "0.5 s"
//   several    "0.498 0.512 0.503 pF"            one unit for all of them
//   limit      "380 to 430 counts/pF"   "at least 250 counts"   "at most 8 counts"
//
// A unit of the same dimension is converted ("2200 fF" is 2.2 pF); another one is an error that
// says so. Pure. No unit stands beside a number of dimension one.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace padtrim::document {

// What is wrong with a text, and how to mend it.
struct TextProblem {
    std::string message, mend;
};
template <class T>
class FromText {
  public:
    FromText(T value) : value_(std::move(value)) {}
    FromText(TextProblem problem) : problem_(std::move(problem)) {}
    explicit operator bool() const { return value_.has_value(); }
    const T& operator*() const { return *value_; }
    [[nodiscard]] const TextProblem& error() const { return problem_; }

  private:
    std::optional<T> value_;
    TextProblem problem_;
};

struct Limit {
    std::optional<double> low, high;
    friend bool operator==(const Limit&, const Limit&) = default;
};

// `unit` is the symbol of the unit wanted (quantity.hpp); values come back in it.
[[nodiscard]] FromText<double> parse_quantity(std::string_view text, std::string_view unit);
[[nodiscard]] FromText<std::vector<double>> parse_quantities(std::string_view text,
                                                             std::string_view unit);
// A limit that need not be there may be taken away by this word.
inline constexpr std::string_view limit_taken_away = "none";
[[nodiscard]] FromText<Limit> parse_limit(std::string_view text, std::string_view unit);

// A number for a message, to four decimals.
[[nodiscard]] std::string rounded(double value);
// The same forms, shortest numbers; a limit has at least one side.
[[nodiscard]] std::string quantity_text(double value, std::string_view unit);
[[nodiscard]] std::string quantities_text(const std::vector<double>& values, std::string_view unit);
[[nodiscard]] std::string limit_text(const Limit& limit, std::string_view unit);

// "a capacitance in pF", for messages.
[[nodiscard]] std::string dimension_of(std::string_view unit);

}  // namespace padtrim::document
