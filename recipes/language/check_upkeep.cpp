// What a profile says of its upkeep: a light that lights something, lives of something, an identity
// that can be told.
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;

// 32 inputs make the largest number; no fixture has so many codes.
constexpr std::size_t most_inputs = 16;

void check_coded_identity(Document& document, const CodedIdentity& identity) {
    if (!document.sound("identity.inputs")) return;
    if (identity.inputs.empty())
        return document.complain("identity.inputs", "no input says which fixture this is",
                                 "Name the coded inputs, the lowest bit first.");
    if (identity.inputs.size() > most_inputs)
        return document.complain("identity.inputs",
                                 "these are too many inputs for the number of a fixture; there may "
                                 "be " +
                                     std::to_string(most_inputs),
                                 "Name the coded inputs alone.");
    if (!document.sound("identity.number")) return;
    const std::uint32_t largest = (1U << identity.inputs.size()) - 1;
    if (identity.number > largest)
        return document.complain("identity.number",
                                 "this is too large a number for " +
                                     std::to_string(identity.inputs.size()) +
                                     " coded inputs; the largest is " + std::to_string(largest),
                                 "Check the number, or name every coded input.");
    // Pulled-out cables read so.
    if (identity.number == 0)
        document.complain("identity.number",
                          "a fixture that is not plugged in says 0 too, since its inputs are open",
                          "Give the fixture a number from 1.");
}

}  // namespace

void check_upkeep(Document& document, const FixtureProfile& fixture) {
    const auto& light = fixture.stack_light;
    if (light && document.sound("stack_light") && !light->running_coil && !light->attention_coil &&
        !light->fault_coil && !light->buzzer_coil)
        document.complain("stack_light", "this stack light has no lamp and no buzzer",
                          "Name their coils, or leave the table out.");
    const auto& lives = fixture.contact_lives;
    if (lives && document.sound("contact_lives") && !lives->relay_life && !lives->pin_life)
        document.complain("contact_lives", "no life is rated here",
                          "Add relay_life or pin_life, or leave the table out.");
    if (fixture.identity && document.sound("identity"))
        check_coded_identity(document, *fixture.identity);
}

}  // namespace padtrim::language
