#include <utility>

#include <sodium.h>

#include "recipes/document/field_reader.hpp"
#include "recipes/document/field_writer.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/layouts.hpp"
#include "recipes/language/load.hpp"
#include "recipes/language/read_documents.hpp"

namespace padtrim::language {
namespace {

using document::Document;
using document::Node;

template <class T>
document::Entry part_of_plan(std::string key, const T& part) {
    document::FieldWriter writer;
    T copy = part;  // layouts are written once for reading and writing, so they ask for a variable
    describe(writer, copy);
    return {std::move(key), {}, writer.take()};
}

template <class T>
T read_table(Document& document, const std::string& key) {
    const Node* table = document.root().find(key);
    if (table != nullptr && std::holds_alternative<document::Table>(table->value))
        return read_part<T>(document, *table, key);
    document.complain(key, "the plan has no table \"" + key + '"',
                      "This text was not written by padtrim, or it was cut off.");
    return {};
}

bool is_plan(Document& document) {
    const Node* version = document.root().find(plan_kind);
    const auto* number = version ? std::get_if<std::int64_t>(&version->value) : nullptr;
    if (number != nullptr && *number >= 1 && *number <= layout_version) return true;
    document.complain(std::string(plan_kind),
                      number == nullptr ? "this is not a plan" : "this plan has another layout",
                      "Plans are written by padtrim; use one of the same version or newer.");
    return false;
}

// A text that was cut off would otherwise pass for a plan without its last optional parts.
bool is_complete(Document& document) {
    const Node* end = document.root().find("end");
    if (end != nullptr && end->find("complete") != nullptr) return true;
    document.complain("end", "the plan is cut off", "Take it from the ledger again.");
    return false;
}

std::shared_ptr<Plan> parts_of(Document& document) {
    auto plan = std::make_shared<Plan>();
    plan->recipe = read_table<Recipe>(document, "recipe");
    plan->map = read_table<RegisterMap>(document, "map");
    plan->fixture = read_table<FixtureProfile>(document, "fixture");
    return plan;
}

}  // namespace

std::string plan_text(const Plan& plan) {
    document::Table table;
    table.push_back({std::string(plan_kind), {}, Node{layout_version, {}}});
    table.push_back(part_of_plan("recipe", plan.recipe));
    table.push_back(part_of_plan("map", plan.map));
    table.push_back(part_of_plan("fixture", plan.fixture));
    table.push_back({"end", {}, Node{document::Table{{"complete", {}, Node{true, {}}}}, {}}});
    return document::toml_text(Node{std::move(table), {}});
}

std::string hash_of(const std::string& text) {
    unsigned char digest[crypto_hash_sha256_BYTES];
    crypto_hash_sha256(digest, reinterpret_cast<const unsigned char*>(text.data()), text.size());
    char hex[2 * sizeof digest + 1];
    return sodium_bin2hex(hex, sizeof hex, digest, sizeof digest);
}

PlanPtr make_plan(Recipe recipe, RegisterMap map, FixtureProfile fixture) {
    auto plan =
        std::make_shared<Plan>(Plan{std::move(recipe), std::move(map), std::move(fixture), ""});
    plan->hash = hash_of(plan_text(*plan));
    return plan;
}

// Not checked anew: a stored plan was checked when it was made, by the rules of its time.
Loaded read_plan(const std::string& text) {
    Document document("plan", text);
    std::shared_ptr<Plan> plan;
    if (document.clean() && is_plan(document) && is_complete(document)) plan = parts_of(document);
    Loaded loaded{nullptr, document.diagnostics()};
    if (plan == nullptr || !loaded.diagnostics.empty()) return loaded;
    plan->hash = hash_of(text);
    loaded.plan = std::move(plan);
    return loaded;
}

}  // namespace padtrim::language
