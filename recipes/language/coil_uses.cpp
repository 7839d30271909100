#include "recipes/language/coil_uses.hpp"

#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using CoilUses = std::vector<CoilUse>;

void add(CoilUses& uses, const std::optional<std::uint16_t>& coil, std::string path,
         std::string what, Stirs stirs = Stirs::never) {
    if (!coil) return;
    uses.push_back({*coil, std::move(path), std::move(what)});
    uses.back().stirs = stirs;
}

void add_nest(CoilUses& uses, const Nest& nest, std::size_t place) {
    const std::string of = " of nest " + std::to_string(nest.number);
    add(uses, nest.connect_coil, item_path("nest", place, "connect_coil"), "pins" + of,
        Stirs::closing);
    uses.back().pins = true;
    add(uses, nest.supply_coil, item_path("nest", place, "supply_coil"), "supply" + of,
        Stirs::closing);
    add(uses, nest.advance_coil, item_path("nest", place, "advance_coil"), "handler" + of,
        Stirs::closing);
    add(uses, nest.select_coil, item_path("nest", place, "select_coil"), "port" + of);
}

void add_meter(CoilUses& uses, const FixtureProfile& fixture) {
    const TipMeter& meter = *fixture.meter;
    add(uses, meter.open_coil, "meter.open_coil", "the meter's open standard");
    add(uses, meter.short_coil, "meter.short_coil", "the meter's short standard");
    for (std::size_t place = 0; place < fixture.nests.size(); ++place)
        for (std::uint32_t channel = 0; channel < fixture.equipment.channels(); ++channel)
            uses.push_back(
                {meter.tip_coil(place, static_cast<std::uint16_t>(channel)), "meter.first_coil",
                 "the meter's tip on nest " + std::to_string(fixture.nests[place].number) +
                     ", channel " + std::to_string(channel)});
}

void add_light(CoilUses& uses, const StackLight& light) {
    add(uses, light.running_coil, "stack_light.running_coil", "green lamp");
    add(uses, light.attention_coil, "stack_light.attention_coil", "yellow lamp");
    add(uses, light.fault_coil, "stack_light.fault_coil", "red lamp");
    add(uses, light.buzzer_coil, "stack_light.buzzer_coil", "buzzer");
}

}  // namespace

std::vector<CoilUse> coil_uses(const FixtureProfile& fixture) {
    CoilUses uses;
    for (std::size_t i = 0; i < fixture.nests.size(); ++i) add_nest(uses, fixture.nests[i], i);
    for (std::size_t i = 0; i < fixture.targets.size(); ++i)
        add(uses, fixture.targets[i].coil, item_path("target", i, "coil"),
            "target " + in_quotes(fixture.targets[i].name), Stirs::either_way);
    if (fixture.meter) add_meter(uses, fixture);
    if (fixture.stack_light) add_light(uses, *fixture.stack_light);
    for (const auto& step : fixture.equipment.steps)
        uses.push_back({step.coil, "",
                        step.reference + " on nest " + std::to_string(step.nest) + ", channel " +
                            std::to_string(step.channel),
                        false, &step});
    return uses;
}

}  // namespace padtrim::language
