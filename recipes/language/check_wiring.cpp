// Coils and inputs of the relay board: each has one use, and the board has it.
#include <algorithm>
#include <map>
#include <set>

#include "recipes/language/check_documents.hpp"
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

std::string of_nest(const char* what, const Nest& nest) {
    return std::string(what) + " of nest " + std::to_string(nest.number);
}

void check_meter_coils(Document& document, const FixtureProfile& fixture, Uses& coils) {
    const TipMeter& meter = *fixture.meter;
    coils.take(meter.open_coil, "meter.open_coil", "the meter's open standard");
    coils.take(meter.short_coil, "meter.short_coil", "the meter's short standard");
    if (!document.sound("equipment")) return;
    for (std::size_t place = 0; place < fixture.nests.size(); ++place)
        for (std::uint32_t channel = 0; channel < fixture.equipment.channels(); ++channel) {
            const auto coil = meter.tip_coil(place, static_cast<std::uint16_t>(channel));
            coils.take(static_cast<std::uint16_t>(std::min<std::uint32_t>(coil, 65535)),
                       "meter.first_coil",
                       "the meter's tip on nest " + std::to_string(fixture.nests[place].number) +
                           ", channel " + std::to_string(channel));
        }
}

void check_light_coils(const std::optional<StackLight>& light, Uses& coils) {
    if (!light) return;
    const auto take = [&](const std::optional<std::uint16_t>& coil, const char* key,
                          const char* what) {
        if (coil) coils.take(*coil, std::string("stack_light.") + key, what);
    };
    take(light->running_coil, "running_coil", "the green lamp");
    take(light->attention_coil, "attention_coil", "the yellow lamp");
    take(light->fault_coil, "fault_coil", "the red lamp");
    take(light->buzzer_coil, "buzzer_coil", "the buzzer");
}

void check_coils(Document& document, const FixtureProfile& fixture) {
    Uses coils(document, "coil", fixture.relays.coils);
    for (std::size_t i = 0; i < fixture.nests.size(); ++i) {
        const auto& nest = fixture.nests[i];
        coils.take(nest.connect_coil, item_path("nest", i, "connect_coil"),
                   of_nest("the pins", nest));
        coils.take(nest.supply_coil, item_path("nest", i, "supply_coil"),
                   of_nest("the supply", nest));
        if (nest.advance_coil)
            coils.take(*nest.advance_coil, item_path("nest", i, "advance_coil"),
                       of_nest("the handler", nest));
        if (nest.select_coil)
            coils.take(*nest.select_coil, item_path("nest", i, "select_coil"),
                       of_nest("the port", nest));
    }
    for (std::size_t i = 0; i < fixture.targets.size(); ++i)
        if (fixture.targets[i].coil)
            coils.take(*fixture.targets[i].coil, item_path("target", i, "coil"),
                       "the target " + in_quotes(fixture.targets[i].name));
    if (fixture.meter) check_meter_coils(document, fixture, coils);
    check_light_coils(fixture.stack_light, coils);
    if (!document.sound("equipment")) return;
    for (const auto& step : fixture.equipment.steps) {
        // Looking a place up takes time, and a fixture has many tips.
        const auto path = coils.clashes(step.coil) ? tip_path(document, step) : "equipment";
        coils.take(step.coil, path,
                   step.reference + " on nest " + std::to_string(step.nest) + ", channel " +
                       std::to_string(step.channel));
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
                        of_nest("the unit's presence", fixture.nests[i]));
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
