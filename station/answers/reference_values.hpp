// Reference values of units, as a person writes them into a CSV file: a unit a line, with the value
// that its check has by a better measurement. Pure.
//
//   serial,value            serial,key,value
//   REF-01,402.13           REF-01,timer,402.13
//
// The first line may be that heading. Empty lines and those that begin with '#' say nothing. A
// serial in quotes may hold commas.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>

namespace padtrim::answers {

class ReferenceValues {
  public:
    void add(const std::string& serial, const std::string& key, double value) {
        values_[{serial, key}] = value;
    }
    // Of this key, else of the unit whatever the key.
    [[nodiscard]] std::optional<double> of(const std::string& serial, const std::string& key) const;
    [[nodiscard]] bool knows(const std::string& serial, const std::string& key) const {
        return values_.contains({serial, key});
    }
    [[nodiscard]] std::size_t size() const { return values_.size(); }

  private:
    std::map<std::pair<std::string, std::string>, double> values_;
};

struct ReferencesRead {
    ReferenceValues values;
    std::string problem;  // with the line, as a sentence; "": none
};
[[nodiscard]] ReferencesRead read_references(const std::string& csv);

}  // namespace padtrim::answers
