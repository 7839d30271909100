// Builds the declaration of one kind of step; internal to the declarations' sources.
#pragma once

#include <string_view>

#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {

inline constexpr document::Range scan_range = document::between(1, 4096);
inline constexpr std::string_view per_line = "channel and frequency";

// Builds one declaration; Body's default values are the defaults of its parameters.
template <class Body>
class Declare {
  public:
    Declare(std::string_view name, std::string_view purpose, std::string_view observes) {
        made_.name = name;
        made_.purpose = purpose;
        made_.observes = observes;
        made_.initial = Body{};
    }
    template <class T, class... More>
    Declare& parameter(document::Field field, T Body::*member, More... more) {
        made_.parameters.push_back([=](document::Fields& fields, StepBody& body) {
            fields.add(field, std::get<Body>(body).*member, more...);
        });
        return *this;
    }
    template <class Q>
    Declare& limit(CheckDeclaration check, Interval<Q> Body::*member) {
        check.unit = Q::symbol();
        const document::Field field{check.limit_key, check.meaning, check.required,
                                    check.ends == Ends::lower ? "at least" : ""};
        made_.limits.push_back([=](document::Fields& fields, StepBody& body) {
            fields.add(field, std::get<Body>(body).*member);
        });
        made_.checks.push_back(check);
        made_.access.push_back({check.name,
                                [=](const StepBody& body) {
                                    const auto& limit = std::get<Body>(body).*member;
                                    document::Limit both;
                                    if (limit.low) both.low = limit.low->value();
                                    if (limit.high) both.high = limit.high->value();
                                    return both;
                                },
                                [=](StepBody& body, const document::Limit& both) {
                                    auto& limit = std::get<Body>(body).*member;
                                    limit = {};
                                    if (both.low) limit.low = Q(*both.low);
                                    if (both.high) limit.high = Q(*both.high);
                                }});
        return *this;
    }
    // A check that is yes or no by itself.
    Declare& check(std::string_view name, std::string_view per, std::string_view meaning) {
        made_.checks.push_back({name, "", "", Claim::indication, per, meaning, false});
        return *this;
    }
    operator StepDeclaration() const { return made_; }

  private:
    StepDeclaration made_;
};

// declare_care_steps.cpp
[[nodiscard]] StepDeclaration declare_wait();
[[nodiscard]] StepDeclaration declare_ask();
[[nodiscard]] StepDeclaration declare_warm_up();
[[nodiscard]] StepDeclaration declare_link();
[[nodiscard]] StepDeclaration declare_crosstalk();
[[nodiscard]] StepDeclaration declare_frequency();
[[nodiscard]] StepDeclaration declare_non_linearity();
[[nodiscard]] StepDeclaration declare_stuck_key();
// declare_finger_steps.cpp
[[nodiscard]] StepDeclaration declare_approach();
[[nodiscard]] StepDeclaration declare_response();
[[nodiscard]] StepDeclaration declare_slow_approach();
[[nodiscard]] StepDeclaration declare_proximity();
[[nodiscard]] StepDeclaration declare_sweep();
[[nodiscard]] StepDeclaration declare_hover();
[[nodiscard]] StepDeclaration declare_wet_panel();

}  // namespace padtrim::language
