// The members of an address's query, taken one after the other; the first thing that is wrong
// stays. Names and ranges are those of the command line. Pure.
#pragma once

#include <initializer_list>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "station/answers/quality_wish.hpp"
#include "station/answers/question_ranges.hpp"

namespace padtrim::web {

class Question {
  public:
    explicit Question(std::string_view query);
    // The same members in the JSON body of a call: strings, numbers, true or false.
    [[nodiscard]] static Question of_body(const std::string& body);

    [[nodiscard]] std::optional<std::string> text(std::string_view name);
    // One of these names, the first where nothing is said.
    [[nodiscard]] std::string one_of(std::string_view name, const std::vector<std::string>& names);
    // "a,b" of these names; none where nothing is said.
    [[nodiscard]] std::vector<std::string> some_of(std::string_view name,
                                                   const std::vector<std::string>& names);
    // Whether one of these is said; they stay to be taken.
    [[nodiscard]] bool says(std::initializer_list<std::string_view> names) const;
    [[nodiscard]] bool flag(std::string_view name);  // "yes", "1" or nothing after the name
    [[nodiscard]] std::optional<double> number(std::string_view name,
                                               const answers::NumberRange& range);
    [[nodiscard]] std::optional<std::size_t> count(std::string_view name,
                                                   const answers::CountRange& range);
    // What every question can be narrowed to.
    [[nodiscard]] answers::QualityWords words();

    // What is wrong, members that nobody asked for included, or "".
    [[nodiscard]] std::string wrong() const;

  private:
    void refuse(std::string_view name, const std::string& wanted);
    std::map<std::string, std::string, std::less<>> members_;
    std::string wrong_;
};

}  // namespace padtrim::web
