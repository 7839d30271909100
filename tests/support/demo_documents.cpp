#include "tests/support/demo_documents.hpp"

namespace padtrim::test_support {

using namespace language;
using std::chrono::milliseconds;

namespace {

constexpr std::uint16_t channels = 8;
constexpr std::uint16_t coils_a_nest = 48;

std::vector<Key> demo_keys() {
    std::vector<Key> keys;
    for (std::uint16_t i = 0; i < channels; ++i) {
        Key key;
        key.name = "key " + std::to_string(i + 1);
        key.channels = {i};
        key.x = Millimetre(17.0 + 22.0 * (i % 4));
        key.y = Millimetre(19.0 + 22.0 * (i / 4));
        key.width = key.height = Millimetre(14.0);
        if (i % 4 > 0) key.neighbours.push_back("key " + std::to_string(i));
        if (i % 4 < 3) key.neighbours.push_back("key " + std::to_string(i + 2));
        key.neighbours.push_back("key " + std::to_string(i < 4 ? i + 5 : i - 3));
        keys.push_back(key);
    }
    return keys;
}

void add_references(FixtureProfile& profile, std::uint16_t nest, std::uint16_t first_coil) {
    const double values[] = {0.5, 1.0, 2.0, 3.0, 1.5};
    for (std::uint16_t r = 0; r < 5; ++r) {
        for (std::uint16_t channel = 0; channel < channels; ++channel) {
            CharacterisedStep step;
            step.nest = nest;
            step.channel = channel;
            step.reference = "R" + std::to_string(r + 1);
            step.coil = static_cast<std::uint16_t>(first_coil + 8 * r + channel);
            step.value = Picofarad(values[r] + 0.004 * (channel - 3.5));
            step.expanded_uncertainty = Picofarad(0.003 + 0.002 * values[r]);
            step.common_relative = 0.0006;
            profile.equipment.steps.push_back(step);
        }
    }
    for (std::uint16_t channel = 0; channel < channels; ++channel) {
        FixturePart part;
        part.nest = nest;
        part.channel = channel;
        part.value = Picofarad(0.40 + 0.005 * channel);
        part.expanded_uncertainty = Picofarad(0.010);
        profile.equipment.fixture_parts.push_back(part);
    }
}

Nest demo_nest(const DemoFixture& choice, std::uint16_t number) {
    const auto base = static_cast<std::uint16_t>(coils_a_nest * (number - 1));
    Nest nest;
    nest.number = number;
    nest.port.path = choice.shared_bus ? "nests" : "nest-" + std::to_string(number);
    nest.connect_coil = static_cast<std::uint16_t>(base + 40);
    nest.supply_coil = static_cast<std::uint16_t>(base + 41);
    if (choice.shared_bus) nest.select_coil = static_cast<std::uint16_t>(base + 43);
    if (choice.handler) {
        nest.advance_coil = static_cast<std::uint16_t>(base + 42);
        nest.present_input = static_cast<std::uint16_t>(1 + number);
    }
    nest.origin_x = Millimetre(20.0 + 120.0 * (number - 1));
    nest.origin_y = Millimetre(30.0);
    return nest;
}

Finger demo_finger() {
    Finger finger;
    finger.port.path = "finger";
    finger.kind = "brass disc";
    finger.stop = "STOP";
    finger.resume = "GO ON";
    finger.discard = "DROP";
    finger.diameter = Millimetre(8.0);
    finger.travel_x = Millimetre(1000.0);
    finger.travel_y = Millimetre(200.0);
    finger.travel_z = Millimetre(80.0);
    finger.safe_height = Millimetre(40.0);
    finger.surface_height = Millimetre(10.0);
    finger.travel_speed = MillimetrePerSecond(250.0);
    finger.approach_speed = MillimetrePerSecond(60.0);
    return finger;
}

ClimateSensor demo_climate() {
    ClimateSensor sensor;
    sensor.port.path = "climate";
    sensor.address = 3;
    sensor.temperature = {.table = RegisterTable::input, .address = 0, .cell = Cell::i16};
    sensor.humidity = {.table = RegisterTable::input, .address = 1, .cell = Cell::u16};
    return sensor;
}

template <class Q>
Interval<Q> between(double low, double high) {
    return {Q(low), Q(high)};
}

}  // namespace

RegisterMap demo_register_map() {
    RegisterMap map;
    map.product = "Demo Panel 8";
    map.revision = "A";
    map.address = 17;
    map.channels = channels;
    map.frequencies = {Kilohertz(250.0), Kilohertz(400.0)};
    map.product_code = {.table = RegisterTable::input, .address = 0, .cell = Cell::u16};
    map.product_code_value = 0x0D08;
    map.firmware = {.table = RegisterTable::input, .address = 1, .cell = Cell::ascii, .cells = 8};
    map.serial = {.table = RegisterTable::input, .address = 8, .cell = Cell::ascii, .cells = 16};
    map.enter_test_mode = {{.address = 0x10, .value = 1}};
    map.leave_test_mode = {{.address = 0x10, .value = 0}};
    map.test_mode = {.table = RegisterTable::holding, .address = 0x10};
    map.scan_trigger = {.address = 0x11, .value = 1};
    map.scan_done = {.table = RegisterTable::input, .address = 0x20};
    map.scan_counter = {.table = RegisterTable::input, .address = 0x21, .cell = Cell::u32};
    map.scan_time = milliseconds(4);
    map.raw_counts = {.table = RegisterTable::input, .address = 0x23, .cells = 16};
    map.corrected_counts = {
        .table = RegisterTable::input, .address = 0x33, .cell = Cell::i16, .cells = 16};
    map.touch_report = {
        .table = RegisterTable::discrete, .address = 0, .cell = Cell::bits, .cells = 8};
    map.nominal_gain = CountsPerPicofarad(400.0);
    map.nominal_offset = Counts(2000.0);
    map.gain_trim = {.where = {.address = 0x40, .cells = 8},
                     .fraction_bits = 14,
                     .minimum = 0.5,
                     .maximum = 1.99};
    map.offset_trim = {.where = {.address = 0x48, .cell = Cell::i16, .cells = 8},
                       .fraction_bits = 2,
                       .minimum = 0.0,
                       .maximum = 8000.0};
    map.unlock = {{.address = 0x50, .value = 0xA55A}, {.address = 0x50, .value = 0x5AA5}};
    map.commit = {{.address = 0x51, .value = 1}};
    map.commit_done = Register{.table = RegisterTable::input, .address = 0x60};
    map.commit_time = milliseconds(15);
    map.restart = {{.address = 0x52, .value = 1}};
    map.boot_time = milliseconds(60);
    map.panel_width = Millimetre(100.0);
    map.panel_height = Millimetre(60.0);
    map.overlay = Millimetre(3.0);
    map.keys = demo_keys();
    return map;
}

FixtureProfile demo_fixture_profile(const DemoFixture& choice) {
    FixtureProfile profile;
    profile.fixture = "demo fixture";
    profile.revision = "A";
    profile.product = "Demo Panel 8";
    profile.series_resistor = Ohm(470.0);
    profile.relays.port.path = "relays";
    profile.relays.address = 1;
    profile.relays.coils = static_cast<std::uint16_t>(coils_a_nest * choice.nests);
    profile.relays.inputs = static_cast<std::uint16_t>(2 + choice.nests);
    profile.relays.switching = choice.switching;
    profile.equipment.certificate = "demo 1";
    profile.equipment.characterised_on = "2026-01-15";
    profile.equipment.recalibration_due = "2027-01-15";
    profile.equipment.frequency = Kilohertz(100.0);
    profile.equipment.temperature_coefficient = PartsPerMillionPerKelvin(30.0);
    profile.equipment.temperature = Celsius(23.0);
    for (std::uint16_t number = 1; number <= choice.nests; ++number) {
        profile.nests.push_back(demo_nest(choice, number));
        add_references(profile, number, static_cast<std::uint16_t>(coils_a_nest * (number - 1)));
    }
    if (choice.interlocks) profile.interlocks = {.guard_input = 0, .emergency_stop_input = 1};
    if (choice.finger) profile.finger = demo_finger();
    if (choice.climate) profile.climate = demo_climate();
    return profile;
}

Recipe demo_recipe() {
    Recipe recipe{
        .name = "demo", .revision = "A", .product = "Demo Panel 8", .decision = {}, .steps = {}};
    const auto add = [&](const char* name, StepBody body) {
        recipe.steps.push_back({name, OnFailure::stop, std::move(body)});
    };
    add("identify", IdentifyStep{});
    add("contacts", ContactStep{.reference = "R2",
                                .contact = between<Percent>(70.0, 130.0),
                                .isolation = between<Percent>(-5.0, 5.0)});
    add("gain and offset", GainOffsetStep{.references = {"R1", "R2", "R3", "R4"},
                                          .gain = between<CountsPerPicofarad>(330.0, 470.0),
                                          .offset = between<Counts>(1650.0, 2350.0),
                                          .non_linearity = between<Percent>(0.0, 1.0)});
    add("noise", NoiseStep{.noise = between<Counts>(0.0, 5.0)});
    add("touch", TouchStep{.keys = {},
                           .response = between<Counts>(250.0, 500.0),
                           .crosstalk = between<Percent>(-5.0, 10.0),
                           .signal_to_noise = {.low = Ratio(5.0), .high = {}}});
    add("write trims", WriteTrimsStep{});
    add("power-cycle", PowerCycleStep{});
    add("verify", VerifyStep{.reference = "R5",
                             .gain_error = between<Percent>(-1.5, 1.5),
                             .offset_error = between<Counts>(-12.0, 12.0)});
    return recipe;
}

PlanPtr demo_plan(const DemoFixture& choice) {
    auto plan = std::make_shared<Plan>();
    plan->recipe = demo_recipe();
    plan->map = demo_register_map();
    plan->fixture = demo_fixture_profile(choice);
    plan->hash = "demo";
    return plan;
}

}  // namespace padtrim::test_support
