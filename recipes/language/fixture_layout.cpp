#include "recipes/language/layouts.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {

using document::above;
using document::at_least;
using document::between;
using document::Fields;
using document::may;
using document::must;

void describe(Fields& f, LineSettings& line) {
    f.shape("line settings");
    f.add(may("baud", "bit/s"), line.baud, between(300, 4'000'000));
    f.add(may("parity", "parity bit"), line.parity);
    f.add(may("stop_bits", "1 or 2"), line.stop_bits, between(1, 2));
    f.add(may("response_timeout", "one attempt ends by then"), line.response_timeout,
          between(1, 60000));
    f.add(may("retries", "attempts after the first"), line.retries, between(0, 100));
}

void describe(Fields& f, ScpiBoard& board) {
    f.add(must("identity", "leading fields of its reply to *IDN?: \"maker,model\""),
          board.identity);
    f.add(may("first_channel", "the channel that is coil 0"), board.first_channel,
          between(0, 4'000'000'000));
    f.add(may("input_request",
              "query of its inputs, with {channels} for their list; it answers 0 or 1 for each"),
          board.input_request);
    f.add(may("first_input", "the channel that is input 0"), board.first_input,
          between(0, 4'000'000'000));
}

namespace {

// Serial or over the network, one of the two.
void describe_place(Fields& f, PortName& port) {
    const bool over_tcp = f.present("tcp", port.tcp);
    if (!f.reading() && !f.writing()) {
        f.add(may("path", "stable name of a serial port"), port.path);
        f.add(may("tcp", "instead of path: \"host:port\" of a server that passes bytes on"),
              port.path);
        return;
    }
    port.tcp = over_tcp;
    if (!over_tcp) return f.add(must("path", "stable name of the port"), port.path);
    if (f.reading() && f.present("path", false))
        f.complain("path", "a port is either a serial port or a TCP port", "Remove path, or tcp.");
    f.add(must("tcp", "host:port"), port.path);
    if (!tcp_name(port.path))
        f.complain("tcp", "this is not the place of a TCP port",
                   "Write \"host:port\", with a port from 1 to 65535.");
}

// A port is its name, or a table when its line is not like the others'.
void describe_port(Fields& f, PortName& port, const LineSettings& common) {
    constexpr auto field =
        must("port",
             "stable name: an absolute path, or one below the port directory; or { path, "
             "line } when this port's settings differ; or { tcp, line }");
    if (f.reading()) port.line = common;
    if (f.is_text("port")) return f.add(field, port.path);
    f.table(field, [&](Fields& below) {
        below.shape("port");
        describe_place(below, port);
        below.add(may("line", "settings of this port"), port.line);
    });
}

void describe_relays(Fields& f, RelayBoard& relays, const LineSettings& common) {
    describe_port(f, relays.port, common);
    const bool scpi = f.present("scpi", relays.scpi.has_value());
    if (!scpi || !(f.reading() || f.writing()))
        f.add(may("address", "Modbus address; not with scpi"), relays.address, between(1, 247));
    else if (f.reading() && f.present("address", false))
        f.complain("address", "a relay board that talks SCPI has no Modbus address", "Remove it.");
    f.add(must("coils", "how many, numbered from 0"), relays.coils, at_least(1));
    f.add(may("inputs", "how many, numbered from 0"), relays.inputs);
    f.add(may("settle", "contacts and electrodes are steady after this"), relays.settle,
          between(0, 10000));
    f.add(may("switching", "whether a reference may be switched on every channel at once"),
          relays.switching);
    f.add(may("scpi", "for a board that talks SCPI instead of Modbus RTU"), relays.scpi);
}

void describe_nest(Fields& f, Nest& nest, const LineSettings& common) {
    f.add(must("number", "from 1"), nest.number, between(1, 64));
    describe_port(f, nest.port, common);
    f.add(may("select_coil", "puts this nest on a port that several share"), nest.select_coil);
    f.add(must("connect_coil", "presses the pins onto the test pads"), nest.connect_coil);
    f.add(must("supply_coil", "power to the unit"), nest.supply_coil);
    f.add(may("advance_coil", "a pulse unloads the nest and loads the next unit"),
          nest.advance_coil);
    f.add(may("present_input", "whether a unit lies in the nest"), nest.present_input);
    f.add(may("origin_x", "panel's lower left corner, where the finger sees it"), nest.origin_x);
    f.add(may("origin_y", "panel's lower left corner, where the finger sees it"), nest.origin_y);
}

void describe_finger(Fields& f, Finger& finger, const LineSettings& common) {
    describe_port(f, finger.port, common);
    f.add(may("kind", "what the probe is"), finger.kind);
    f.add(must("diameter", "of the probe's face"), finger.diameter, above(0));
    f.add(must("travel_x", "allowed is 0 to this"), finger.travel_x, above(0));
    f.add(must("travel_y", "allowed is 0 to this"), finger.travel_y, above(0));
    f.add(must("travel_z", "allowed is 0 to this; 0 is the bed, larger is higher"), finger.travel_z,
          above(0));
    f.add(must("safe_height", "lateral moves happen at or above it"), finger.safe_height, above(0));
    f.add(must("surface_height", "where the finger touches a nominal overlay"),
          finger.surface_height, at_least(0));
    if (f.present("height_expanded_uncertainty", finger.height_expanded_uncertainty.value() > 0.0))
        f.add(may("height_expanded_uncertainty",
                  "of a height as the controller tells it (k = 2), when the axis was calibrated: "
                  "without it no height is traceable"),
              finger.height_expanded_uncertainty, above(0));
    f.add(must("travel_speed", "of lateral moves"), finger.travel_speed, above(0));
    f.add(must("approach_speed", "of the descent"), finger.approach_speed, above(0));
    f.add(may("touch_zone", "above surface_height, where a descent is slower; 0 for none"),
          finger.touch_zone, at_least(0));
    f.add(may("touch_speed", "of the descent within touch_zone"), finger.touch_speed, at_least(0));
    f.add(may("greeting", "pattern of the line after power-on"), finger.greeting);
    f.add(may("acknowledgement", "pattern of a line that accepts"), finger.acknowledgement);
    f.add(may("refusal", "pattern of a line that refuses"), finger.refusal);
    f.add(may("position_request", "line that asks for the position"), finger.position_request);
    f.add(may("position_reply",
              "pattern with four groups: X, Y, Z in mm, then a word that says whether it stands"),
          finger.position_reply);
    f.add(may("standing", "that word when the finger stands"), finger.standing);
    f.add(may("alarm", "pattern of the line that it says unasked when it stopped by itself"),
          finger.alarm);
    f.add(may("home",
              "line that homes this controller; G28 is the return to the reference point of the "
              "published RS-274/NGC interpreter"),
          finger.home);
    if (f.present("stop", !finger.stop.empty()))
        f.text(may("stop", "line that ends motion where it is (feed hold)"), finger.stop);
    if (f.present("resume", !finger.resume.empty()))
        f.text(may("resume", "line after which it takes motion again, the rest of the way first"),
               finger.resume);
    if (f.present("discard", !finger.discard.empty()))
        f.text(may("discard",
                   "line that throws the rest of a stopped way away and ends the hold, so that "
                   "nothing but homing moves after it"),
               finger.discard);
    f.add(may("settle", "the finger is steady this long after it stands"), finger.settle,
          between(0, 10000));
}

void describe_climate(Fields& f, ClimateSensor& climate, const LineSettings& common) {
    describe_port(f, climate.port, common);
    f.add(may("address", "Modbus address"), climate.address, between(1, 247));
    f.add(must("temperature", "register"), climate.temperature);
    f.add(must("humidity", "register"), climate.humidity);
    f.add(may("temperature_scale", "degC for each count"), climate.temperature_scale, above(0));
    f.add(may("humidity_scale", "%RH for each count"), climate.humidity_scale, above(0));
    f.add(may("temperature_expanded_uncertainty", "of the sensor, k = 2"),
          climate.temperature_expanded_uncertainty, at_least(0));
}

void describe_meter(Fields& f, TipMeter& meter, const LineSettings& common) {
    describe_port(f, meter.port, common);
    f.add(must("identity", "leading fields of its reply to *IDN?: \"maker,model\""),
          meter.identity);
    f.add(may("setup", "lines sent before the first reading; {hertz} stands for the frequency"),
          meter.setup);
    f.add(may("read_request", "query that answers resistance and reactance in ohm"),
          meter.read_request);
    f.add(may("common_relative",
              "standard uncertainty that all its values share, as a part of the value"),
          meter.common_relative, between(0, 0.5));
    f.add(may("half_width", "within which each value lies besides: resolution, residuals"),
          meter.half_width, at_least(0));
    f.add(must("open_coil", "puts it on the adapter's open standard"), meter.open_coil);
    f.add(must("short_coil", "puts it on the adapter's short standard"), meter.short_coil);
    f.add(must("first_coil", "puts it on the tip of the first nest, channel 0"), meter.first_coil);
    f.add(may("nest_stride", "coils from one nest to the next"), meter.nest_stride);
    f.add(may("channel_stride", "coils from one channel to the next"), meter.channel_stride);
}

}  // namespace

void describe(Fields& f, Target& target) {
    f.add(must("name", "as recipes name it"), target.name);
    f.add(may("kind", "a conductive plate, or a pad of water"), target.kind);
    f.add(must("diameter", "of its face"), target.diameter, above(0));
    f.add(may("thickness", "by which its face lies below the fingertip"), target.thickness,
          at_least(0));
    f.add(may("coil",
              "swings it in front of the fingertip (open: away); without one a person lays it on "
              "the panel"),
          target.coil);
}

void describe(Fields& f, Interlocks& interlocks) {
    f.add(may("guard_input", "closed (1) when the guard door is shut"), interlocks.guard_input);
    f.add(may("emergency_stop_input", "closed (1) when nobody pressed it"),
          interlocks.emergency_stop_input);
}

namespace {

template <class T>
void describe_part(Fields& f, std::string_view key, std::string_view meaning,
                   std::optional<T>& part, const LineSettings& common,
                   void (*describe_it)(Fields&, T&, const LineSettings&)) {
    if (!f.present(key, part.has_value())) return;
    T inner = part.value_or(T{});
    f.table(may(key, meaning), [&](Fields& below) { describe_it(below, inner, common); });
    part = std::move(inner);
}

}  // namespace

void describe(Fields& f, FixtureProfile& fixture) {
    describe_kind(f, fixture_kind);
    f.add(must("fixture", "its identity"), fixture.fixture);
    f.add(must("revision", "of this document"), fixture.revision);
    f.add(must("product", "unit type that its nests hold"), fixture.product);
    f.add(may("coupling", "pins on test pads, or a plate over the overlay"), fixture.coupling);
    f.add(may("return_path", "how unit and finger return to earth"), fixture.return_path);
    f.add(may("series_resistor", "in each reference branch"), fixture.series_resistor, at_least(0));
    LineSettings common;
    if (!f.writing()) f.add(may("line", "settings of ports that do not say otherwise"), common);
    f.table(must("relays", "the relay board, over Modbus RTU or SCPI"),
            [&](Fields& below) { describe_relays(below, fixture.relays, common); });
    f.tables(
        must("nest", "each place that holds a unit"), fixture.nests.size(),
        [&](std::size_t count) { fixture.nests.resize(count); },
        [&](Fields& below, std::size_t i) { describe_nest(below, fixture.nests[i], common); });
    f.add(may("interlocks", "inputs that software reads; never the safety function"),
          fixture.interlocks);
    describe_part(f, "finger", "the dummy finger, over RS-274 lines", fixture.finger, common,
                  &describe_finger);
    f.add(may("target", "what can take the finger's place"), fixture.targets);
    describe_part(f, "climate", "temperature and humidity, over Modbus RTU", fixture.climate,
                  common, &describe_climate);
    describe_part(f, "meter", "the meter that characterises the references, over SCPI",
                  fixture.meter, common, &describe_meter);
    f.add(may("shift_check", "check standards and a challenge unit that watch the station"),
          fixture.shift_check);
    if (f.present("stop_rule", fixture.stop_rule != StopRule{}))
        f.add(may("stop_rule", "when a nest calls for help"), fixture.stop_rule);
    f.add(may("stack_light", "lamps and buzzer on relay coils; never a safety function"),
          fixture.stack_light);
    f.add(may("contact_lives", "what relays and pins are rated for"), fixture.contact_lives);
    f.add(may("identity", "coded inputs that say which fixture is plugged in"), fixture.identity);
    f.table(must("equipment", "what is known of the references"),
            [&](Fields& below) { describe(below, fixture.equipment, fixture); });
}

}  // namespace padtrim::language
