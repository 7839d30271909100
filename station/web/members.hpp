// The members of a call's JSON body, taken one after the other; the first thing that is wrong
// stays.
#pragma once

#include <cstdint>
#include <string>

#include <boost/json/object.hpp>

#include "station/answers/json.hpp"

namespace padtrim::web {

class Members {
  public:
    explicit Members(const std::string& body);
    void take(const char* name, std::string& into);
    void take(const char* name, bool& into);
    void take(const char* name, std::uint32_t& into);
    void take(const char* name, std::int64_t& into);  // from 1 on
    void take(const char* name, double& into);
    // A name that people give; empty only when it may be.
    void take_name(const char* name, std::string& into, bool required);
    // What is wrong, members that nobody asked for included, or "".
    [[nodiscard]] std::string wrong() const;

  private:
    const answers::Json* find(const char* name, const char* wanted,
                              bool (answers::Json::*is)() const noexcept);
    void refuse(const char* name, const char* wanted);

    boost::json::object object_;
    answers::Json taken_;
    std::string wrong_;
};

}  // namespace padtrim::web
