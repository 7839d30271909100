// Coils and inputs of the relay board: each has one use, and the board has it.
#include <algorithm>
#include <map>
#include <set>

#include "recipes/language/check_documents.hpp"
#include "recipes/language/coil_uses.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;

// Who uses what, of coils or of inputs; the first user owns it.
class Uses {
  public:
    Uses(Document& document, std::string word, std::uint16_t count)
        : document_(document), word_(std::move(word)), count_(count) {}

    [[nodiscard]] bool clashes(std::uint16_t number) const {
        return number >= count_ || owners_.contains(number);
    }
    // One message a place: a wrong stride would otherwise give one for every coil.
    void take(std::uint16_t number, const std::string& path, const std::string& user) {
        if (!document_.sound(path)) return;
        if (number >= count_ && told_.insert(path).second)
            document_.complain(
                path,
                word_ + ' ' + std::to_string(number) + " does not exist; the relay board has " +
                    word_ + "s 0 to " + std::to_string(count_ - 1),
                "Check the wiring, or the number of " + word_ + "s of the relay board.");
        const auto [owner, fresh] = owners_.try_emplace(number, user);
        if (fresh || !told_.insert(path).second) return;
        document_.complain(path,
                           word_ + ' ' + std::to_string(number) +
                               " has two uses: " + owner->second + ", and " + user,
                           "Each " + word_ + " has one use; check numbers and strides.");
    }

  private:
    Document& document_;
    std::string word_;
    std::uint16_t count_;
    std::map<std::uint16_t, std::string> owners_;
    std::set<std::string> told_;
};

void check_coils(Document& document, const FixtureProfile& fixture) {
    Uses coils(document, "coil", fixture.relays.coils);
    for (const CoilUse& use : coil_uses(fixture)) {
        const bool of_references = use.step != nullptr || use.path == "meter.first_coil";
        if (of_references && !document.sound("equipment")) continue;
        const auto coil = static_cast<std::uint16_t>(std::min<std::uint32_t>(use.coil, 65535));
        std::string path = use.path;
        // Looking a place up takes time, and a fixture has many tips.
        if (use.step != nullptr)
            path = coils.clashes(coil) ? tip_path(document, *use.step) : "equipment";
        coils.take(coil, path, use.what);
    }
}

void check_inputs(Document& document, const FixtureProfile& fixture) {
    Uses inputs(document, "input", fixture.relays.inputs);
    if (fixture.interlocks.guard_input)
        inputs.take(*fixture.interlocks.guard_input, "interlocks.guard_input", "the guard door");
    if (fixture.interlocks.emergency_stop_input)
        inputs.take(*fixture.interlocks.emergency_stop_input, "interlocks.emergency_stop_input",
                    "the emergency stop");
    for (std::size_t i = 0; i < fixture.nests.size(); ++i)
        if (fixture.nests[i].present_input)
            inputs.take(*fixture.nests[i].present_input, item_path("nest", i, "present_input"),
                        "the unit's presence of nest " + std::to_string(fixture.nests[i].number));
    if (!fixture.identity) return;
    for (std::size_t i = 0; i < fixture.identity->inputs.size(); ++i)
        inputs.take(fixture.identity->inputs[i], item_path("identity.inputs", i),
                    "the fixture's number");
}

}  // namespace

void check_wiring(Document& document, const FixtureProfile& fixture) {
    if (!document.sound("relays")) return;
    check_coils(document, fixture);
    check_inputs(document, fixture);
}

}  // namespace padtrim::language
