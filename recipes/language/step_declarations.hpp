// Every kind of step, declared once: what it is called, what it does and observes, its parameters
// with units and defaults, and which checks it yields with their traceability.
//
// Reader, canonical writer and the recipe reference are made from this table. A new step is one
// struct in recipe.hpp and one declaration in step_declarations.cpp. The table is made at the first
// call and never changes.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "recipes/document/fields.hpp"
#include "recipes/language/recipe.hpp"

namespace padtrim::language {

// What a result may claim (architecture, measurement model): traceable to characterised steps,
// distance, time or temperature; comparable, held by check standards; or only an indication.
enum class Claim { traceable, comparable, indication };
[[nodiscard]] std::string_view name_of(Claim claim);

// Which ends a limit has: what is better the smaller has an upper end only.
enum class Ends { either, upper, lower };

// What its uncertainty is of, and so how it is decided: a value's; a standard deviation's, whose
// square goes with chi-squared; or a value's that is in proportion to the value.
enum class Doubt { of_value, of_scatter, in_proportion };

struct CheckDeclaration {
    std::string_view name;       // as results name it: "touch response"
    std::string_view limit_key;  // below `limits` in a recipe; "" when the check needs no limit
    std::string_view unit;       // symbol of quantity.hpp; "" for yes or no
    Claim claim = Claim::indication;
    std::string_view per;  // what it is made for: "channel and frequency", "key", "unit"
    std::string_view meaning;
    bool required = false;  // the limit has to be given
    Ends ends = Ends::either;
    Doubt doubt = Doubt::of_value;
};

// One limit of a step's body, in the check's own unit.
struct LimitAccess {
    std::string_view check;
    std::function<document::Limit(const StepBody&)> get;
    std::function<void(StepBody&, const document::Limit&)> set;
};

struct StepDeclaration {
    using DescribePart = std::function<void(document::Fields&, StepBody&)>;

    std::string_view name;  // what `do` says
    std::string_view purpose;
    std::string_view observes;
    StepBody initial;  // holds the defaults
    std::vector<CheckDeclaration> checks;
    std::vector<DescribePart> parameters, limits;
    std::vector<LimitAccess> access;  // in the order of `limits`
};

// In the order of StepBody's alternatives.
[[nodiscard]] const std::vector<StepDeclaration>& step_declarations();
[[nodiscard]] const StepDeclaration& declaration_of(const StepBody& body);
[[nodiscard]] const std::vector<std::string_view>& step_names();

// The parameters and limits of a step that is of this declaration's kind.
void describe_body(document::Fields& fields, const StepDeclaration& declaration, StepBody& body);

// Whether a step may be done a second time on the same unit: not what identifies it, and not what
// writes to it or takes its power away.
[[nodiscard]] bool is_repeatable(const StepBody& body);
[[nodiscard]] bool has_limits(const StepDeclaration& declaration);

// Of a check by its name, which means the same in every step that yields it.
[[nodiscard]] Doubt doubt_of(std::string_view check);

// What a check of this step allows; no side where the step has no such limit.
[[nodiscard]] document::Limit limit_of(const StepBody& body, std::string_view check);
// The step as it is judged where an exception holds.
[[nodiscard]] StepBody body_under(const StepBody& body, const Exception& exception);

// The checks of a step as "limits.x" keys, for messages about them.
[[nodiscard]] const CheckDeclaration* check_with_limit(const StepDeclaration& declaration,
                                                       std::string_view limit_key);

}  // namespace padtrim::language
