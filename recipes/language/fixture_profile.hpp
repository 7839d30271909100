// The fixture profile: ports, wiring, references, finger, interlocks of one fixture.
//
// Plain values, read from TOML by read_fixture_profile(). The equipment record (characterised
// reference steps with uncertainties and dates) is part of it and is stored with every result, so
// that a result can be judged again with what was known then.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "recipes/language/register_map.hpp"
#include "recipes/language/shift_check.hpp"
#include "recipes/language/upkeep.hpp"
#include "recipes/quantity/quantity.hpp"

namespace padtrim::language {

enum class Parity { none, even, odd };

// How to talk on one serial port. Times are of one transaction: every attempt ends within
// response_timeout, and there are 1 + retries attempts.
struct LineSettings {
    unsigned baud = 115200;
    Parity parity = Parity::even;
    unsigned stop_bits = 1;
    std::chrono::milliseconds response_timeout{200};
    unsigned retries = 2;
    friend bool operator==(const LineSettings&, const LineSettings&) = default;
};

// A stable name: an absolute path, or a name below the port directory (default
// /dev/serial/by-id, changed with --ports). Over TCP: "host:port", and of the line only
// response_timeout and retries count.
struct PortName {
    std::string path;
    LineSettings line;
    bool tcp = false;
    friend bool operator==(const PortName&, const PortName&) = default;
};

// Where a TCP port is: "host:port", or "[address]:port" for an address with colons.
struct TcpName {
    std::string host;
    std::uint16_t port = 0;
    friend bool operator==(const TcpName&, const TcpName&) = default;
};
// Nothing without a host and a port from 1 to 65535.
[[nodiscard]] std::optional<TcpName> tcp_name(std::string_view text);

// One reference step as it was characterised at the contact's tip (nest, channel). The standard
// uncertainty expanded/coverage_factor has an independent part and a part common to every step
// that the same meter measured: common_relative * value (standard, k = 1).
struct CharacterisedStep {
    std::uint16_t nest = 1;
    std::uint16_t channel = 0;
    std::string reference;  // its name in recipes: "R1"
    std::uint16_t coil = 0;
    Picofarad value;
    Picofarad expanded_uncertainty;
    double coverage_factor = 2.0;
    double common_relative = 0.0;
    friend bool operator==(const CharacterisedStep&, const CharacterisedStep&) = default;
};

// What the connected fixture itself adds to a channel's capacitance with all references open.
struct FixturePart {
    std::uint16_t nest = 1;
    std::uint16_t channel = 0;
    Picofarad value;
    Picofarad expanded_uncertainty;
    double coverage_factor = 2.0;
    friend bool operator==(const FixturePart&, const FixturePart&) = default;
};

struct EquipmentRecord {
    std::string certificate;        // characterisation or certificate number
    std::string characterised_on;   // ISO 8601 date
    std::string recalibration_due;  // ISO 8601 date
    Kilohertz frequency;            // at which the steps were characterised
    PartsPerMillionPerKelvin temperature_coefficient;
    // What the coefficient is known to lie within (+-): 30 ppm/K of 0 for C0G. The same error for
    // all steps.
    PartsPerMillionPerKelvin temperature_coefficient_half_width{};
    Celsius temperature;  // of the characterisation
    // Standard uncertainty, as a part of every step, of what the unit sees and a guarded meter does
    // not (strays): one error common to all steps.
    double definition_relative = 0.0;
    Picofarad flexing{};  // how much the wiring's own capacitance may change as it moves
    std::vector<CharacterisedStep> steps;
    std::vector<FixturePart> fixture_parts;
    [[nodiscard]] const CharacterisedStep* step(std::uint16_t nest, std::uint16_t channel,
                                                const std::string& reference) const;
    [[nodiscard]] const FixturePart* fixture_part(std::uint16_t nest, std::uint16_t channel) const;
    // One more than the largest channel of a step; 0 without steps.
    [[nodiscard]] std::uint32_t channels() const;
    friend bool operator==(const EquipmentRecord&, const EquipmentRecord&) = default;
};

// Whether a step may be switched on every channel at once, or one channel after the other.
enum class Switching { one_channel, all_channels };
enum class Coupling { contact, plate };
enum class ReturnPath { bonded, impedance, floating };

// A relay board that is an instrument: ROUTe:CLOSe and ROUTe:OPEN with channel lists.
struct ScpiBoard {
    std::string identity;             // leading fields of the reply to *IDN?: "maker,model"
    std::uint32_t first_channel = 1;  // the channel that is coil 0; the next are coil 1, 2, ...
    // Asks for inputs; {channels} stands for their list. No standard has a word for them.
    std::string input_request;
    std::uint32_t first_input = 1;
    friend bool operator==(const ScpiBoard&, const ScpiBoard&) = default;
};
inline constexpr std::string_view input_channels = "{channels}";

// Over Modbus RTU, or over SCPI when `scpi` says so.
struct RelayBoard {
    PortName port;
    std::uint8_t address = 1;
    std::uint16_t coils = 0;
    std::uint16_t inputs = 0;
    std::chrono::milliseconds settle{5};  // contact bounce and electrode settling after a change
    Switching switching = Switching::all_channels;
    std::optional<ScpiBoard> scpi;
    friend bool operator==(const RelayBoard&, const RelayBoard&) = default;
};

// Nests may share one port through a multiplexer: then select_coil puts this nest on it.
struct Nest {
    std::uint16_t number = 1;  // from 1
    PortName port;
    std::optional<std::uint16_t> select_coil;
    std::uint16_t connect_coil = 0;  // presses the pins onto the electrodes' test pads
    std::uint16_t supply_coil = 0;   // power to the unit
    // An automatic handler: a pulse on advance_coil unloads the nest and loads the next unit;
    // present_input says whether a unit lies in the nest. Without it a person loads.
    std::optional<std::uint16_t> advance_coil;
    std::optional<std::uint16_t> present_input;
    Millimetre origin_x, origin_y;  // the panel's lower left corner in the finger's coordinates
    friend bool operator==(const Nest&, const Nest&) = default;
};

// Discrete inputs of the relay board; closed (1) means safe. Reading them is a convenience of
// software and never the safety function.
struct Interlocks {
    std::optional<std::uint16_t> guard_input;
    std::optional<std::uint16_t> emergency_stop_input;
    friend bool operator==(const Interlocks&, const Interlocks&) = default;
};

// The robotic dummy finger and what its motion controller says. Patterns are ECMAScript regular
// expressions over one reply line; position has four groups (X, Y, Z in mm, and a word that says
// whether it stands).
struct Finger {
    PortName port;
    std::string kind;  // "brass disc", say
    Millimetre diameter;
    Millimetre travel_x, travel_y, travel_z;  // allowed: 0 to travel
    Millimetre safe_height;                   // lateral moves happen at or above it
    Millimetre surface_height;                // Z at which the finger touches a nominal overlay
    // Of a height told by the controller, k = 2; 0 where nobody calibrated the axis.
    Millimetre height_expanded_uncertainty{};
    MillimetrePerSecond travel_speed, approach_speed;
    Millimetre touch_zone;            // above surface_height; 0: none
    MillimetrePerSecond touch_speed;  // of a descent within it
    std::string greeting = "READY.*";
    std::string acknowledgement = "ACK.*";
    std::string refusal = "NAK.*";
    std::string position_request = "PLACE?";
    std::string position_reply = "AT X(-?[0-9.]+) Y(-?[0-9.]+) Z(-?[0-9.]+) (STILL|MOVING)";
    std::string standing = "STILL";   // group 4 when it stands
    std::string alarm = "TRIPPED.*";  // unasked: the controller stopped by itself
    std::string home = "G28";
    std::string stop;     // feed hold: ends motion where it is; "" when there is none
    std::string resume;   // takes motion again, the rest of the stopped way first
    std::string discard;  // throws the rest of the stopped way away instead; "" when there is none
    std::chrono::milliseconds settle{20};
    friend bool operator==(const Finger&, const Finger&) = default;
};

// What can take the finger's place: a larger plate, or a pad of water. A coil swings it in front of
// the fingertip (open: away); without one a person can only lay it on the panel.
enum class TargetKind { conductive, water };
struct Target {
    std::string name;
    TargetKind kind = TargetKind::conductive;
    Millimetre diameter;
    Millimetre thickness;  // by which its face lies below the fingertip
    std::optional<std::uint16_t> coil;
    friend bool operator==(const Target&, const Target&) = default;
};

// Temperature and humidity over Modbus RTU; value = register * scale.
struct ClimateSensor {
    PortName port;
    std::uint8_t address = 1;
    Register temperature, humidity;
    double temperature_scale = 0.1, humidity_scale = 0.1;
    Celsius temperature_expanded_uncertainty{0.5};
    friend bool operator==(const ClimateSensor&, const ClimateSensor&) = default;
};

// Impedance meter over SCPI and the adapter through which it reaches the contacts' tips. The
// adapter lies in the nest in a unit's place; its relays are coils of the relay board. open_coil
// and short_coil put the meter on the adapter's open and short standards, tip coils on one pad.
struct TipMeter {
    PortName port;
    std::string identity;            // leading fields of the reply to *IDN?: "maker,model"
    std::vector<std::string> setup;  // sent once, in order; {hertz} stands for the frequency
    // Answers resistance and reactance in ohm (a series circuit); more elements do not count.
    std::string read_request = "READ?";
    // Standard uncertainty that all values of this meter share, as a part of the value.
    double common_relative = 0.0;
    Picofarad half_width;  // within which one corrected value lies besides: resolution, residuals
    std::uint16_t open_coil = 0, short_coil = 0;
    std::uint16_t first_coil = 0, nest_stride = 0, channel_stride = 1;  // the tips'
    [[nodiscard]] std::uint32_t tip_coil(std::size_t nest_place, std::uint16_t channel) const {
        return first_coil + static_cast<std::uint32_t>(nest_place) * nest_stride +
               std::uint32_t{channel} * channel_stride;
    }
    friend bool operator==(const TipMeter&, const TipMeter&) = default;
};
inline constexpr std::string_view meter_hertz = "{hertz}";

struct FixtureProfile {
    std::string fixture;  // its identity
    std::string revision;
    std::string product;  // unit type that its nests hold
    Coupling coupling = Coupling::contact;
    ReturnPath return_path = ReturnPath::bonded;
    Ohm series_resistor;
    RelayBoard relays;
    std::vector<Nest> nests;
    Interlocks interlocks;
    std::optional<Finger> finger;
    std::vector<Target> targets;
    std::optional<ClimateSensor> climate;
    std::optional<TipMeter> meter;
    std::optional<ShiftCheck> shift_check;
    StopRule stop_rule;
    std::optional<StackLight> stack_light;
    std::optional<ContactLives> contact_lives;
    std::optional<CodedIdentity> identity;
    EquipmentRecord equipment;
    [[nodiscard]] const Nest* nest(std::uint16_t number) const;
    [[nodiscard]] const Target* target(const std::string& name) const;
    friend bool operator==(const FixtureProfile&, const FixtureProfile&) = default;
};

}  // namespace padtrim::language
