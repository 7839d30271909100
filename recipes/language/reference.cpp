#include "recipes/language/reference.hpp"

#include "recipes/document/field_list.hpp"
#include "recipes/document/quantity_text.hpp"
#include "recipes/language/layouts.hpp"
#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {
namespace {

using document::FieldRow;
using document::FieldTable;

// A bar would end the table's cell.
std::string cell(std::string_view text) {
    std::string out;
    for (const char c : text) out += c == '|' ? std::string("\\|") : std::string(1, c);
    return out;
}

std::string code(std::string_view text) {
    return text.empty() ? std::string() : '`' + std::string(text) + '`';
}

std::string rows_text(const std::vector<FieldRow>& rows) {
    std::string out = "| key | form | default | meaning |\n| --- | --- | --- | --- |\n";
    for (const auto& row : rows) {
        const std::string initial =
            row.required ? "required" : (row.initial.empty() ? "none" : cell(row.initial));
        out += "| `" + row.key + "` | " + cell(row.form) + " | " + initial + " | " +
               cell(row.meaning) + " |\n";
    }
    return out + '\n';
}

std::string shapes_text(const FieldTable& table) {
    std::string out;
    for (const auto& [name, rows] : table.shapes)
        out += "## Form: " + name + "\n\n" + rows_text(rows);
    return out;
}

std::string checks_text(const StepDeclaration& step) {
    if (step.checks.empty()) return {};
    std::string out =
        "| check | limit | unit | for each | class | meaning |\n"
        "| --- | --- | --- | --- | --- | --- |\n";
    for (const auto& check : step.checks) {
        std::string limit = check.limit_key.empty() ? "yes or no" : code(check.limit_key);
        if (check.required) limit += ", required";
        out += "| " + std::string(check.name) + " | " + limit + " | " +
               std::string(check.unit == "1" ? "" : check.unit) + " | " + std::string(check.per) +
               " | " + std::string(name_of(check.claim)) + " | " + cell(check.meaning) + " |\n";
    }
    return out + '\n';
}

std::string step_text(const StepDeclaration& step) {
    StepBody body = step.initial;
    const auto parameters = document::list_fields([&](document::Fields& fields) {
        for (const auto& parameter : step.parameters) parameter(fields, body);
    });
    std::string out = "## " + std::string(step.name) + "\n\n" + std::string(step.purpose) +
                      " Observes: " + std::string(step.observes) + ".\n\n";
    if (!parameters.rows.empty()) out += rows_text(parameters.rows);
    return out + checks_text(step);
}

constexpr std::string_view made =
    "Generated from the program's own declarations; a test fails when this page is stale.\n\n";

constexpr std::string_view forms =
    "Quantities are texts with their unit: `\"2.2 pF\"`, `\"15 ms\"`, `\"5 %\"`. Units of the "
    "same\n"
    "dimension are converted (`\"2200 fF\"`, `\"0.5 s\"`); another unit is an error. A limit is\n"
    "`\"380 to 430 counts/pF\"`, `\"at least 250 counts\"` or `\"at most 8 counts\"`. Several "
    "values\n"
    "share one unit: `\"250 400 kHz\"`. Dates stand without quotes: `2026-03-31`.\n\n";

std::string rows_of_recipe() {
    Recipe recipe;
    recipe.steps = {{"", OnFailure::stop, NoiseStep{}}};  // one that has limits
    auto table = document::list_fields([&](document::Fields& fields) { describe(fields, recipe); });
    // Each kind of step has its own section.
    std::erase_if(table.rows, [](const FieldRow& row) {
        return row.key == "step[].scans" || row.key.starts_with("step[].limits") ||
               row.key.starts_with("step[].except[].limits.");
    });
    return rows_text(table.rows);
}

template <class T>
std::string whole_document(std::string_view title) {
    T value;
    const auto table =
        document::list_fields([&](document::Fields& fields) { describe(fields, value); });
    return "# " + std::string(title) + "\n\n" + std::string(made) + std::string(forms) +
           rows_text(table.rows) + shapes_text(table);
}

}  // namespace

std::string recipe_reference_markdown() {
    std::string out = "# Recipe reference\n\n" + std::string(made) + std::string(forms) +
                      rows_of_recipe() +
                      "A result is *traceable* (to characterised steps, distance, time, "
                      "temperature),\n*comparable* (held by check standards) or an *indication*. "
                      "Limits stand below `limits`:\n`limits.gain = \"380 to 430 counts/pF\"`.\n\n";
    for (const auto& step : step_declarations()) out += step_text(step);
    while (out.ends_with("\n\n")) out.pop_back();
    return out;
}

std::string register_map_reference_markdown() {
    auto out = whole_document<RegisterMap>("Register map reference");
    while (out.ends_with("\n\n")) out.pop_back();
    return out;
}

std::string fixture_reference_markdown() {
    auto out = whole_document<FixtureProfile>("Fixture profile reference");
    while (out.ends_with("\n\n")) out.pop_back();
    return out;
}

}  // namespace padtrim::language
