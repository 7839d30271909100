#include <set>

#include "recipes/document/quantity_text.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;

void check_nests(Document& document, const FixtureProfile& fixture) {
    if (document.sound("nest") && fixture.nests.empty())
        document.complain("nest", "this fixture has no nests", "Add a [[nest]] table.");
    std::set<std::uint16_t> seen;
    for (std::size_t i = 0; i < fixture.nests.size(); ++i) {
        const auto path = item_path("nest", i, "number");
        if (document.sound(path) && !seen.insert(fixture.nests[i].number).second)
            document.complain(
                path, "two nests have the number " + std::to_string(fixture.nests[i].number),
                "Number each nest once.");
    }
}

void check_targets(Document& document, const FixtureProfile& fixture) {
    std::set<std::string> seen;
    for (std::size_t i = 0; i < fixture.targets.size(); ++i) {
        const auto path = item_path("target", i, "name");
        if (document.sound(path) && !seen.insert(fixture.targets[i].name).second)
            document.complain(path,
                              "two targets have the name " + in_quotes(fixture.targets[i].name),
                              "Give each target a name of its own.");
    }
}

void check_climate(Document& document, const ClimateSensor& climate) {
    for (const auto& [path, where] : {std::pair("climate.temperature", climate.temperature),
                                      std::pair("climate.humidity", climate.humidity)})
        if (document.sound(path) && (where.cells != 1 || registers_of(where.cell) == 0))
            document.complain(path, "a reading is one number",
                              "Write cell = \"i16\", say, and no cells.");
}

void check_advance(Document& document, const FixtureProfile& fixture) {
    for (std::size_t i = 0; i < fixture.nests.size(); ++i)
        if (fixture.nests[i].advance_coil && !fixture.nests[i].present_input)
            document.complain(item_path("nest", i, "advance_coil"),
                              "a handler loads units here, but nothing says whether one lies in "
                              "the nest",
                              "Add present_input.");
}

}  // namespace

void check_document(Document& document, const FixtureProfile& fixture) {
    check_nests(document, fixture);
    check_ports(document, fixture);
    check_wiring(document, fixture);
    check_relay_board(document, fixture.relays);
    if (fixture.meter) check_meter(document, *fixture.meter);
    if (fixture.shift_check) check_shift_check(document, *fixture.shift_check);
    check_upkeep(document, fixture);
    check_advance(document, fixture);
    check_targets(document, fixture);
    check_equipment(document, fixture);
    check_finger_profile(document, fixture);
    if (fixture.climate) check_climate(document, *fixture.climate);
}

}  // namespace padtrim::language
