// The register map: what a product's Modbus RTU registers mean, so that no product needs a
// compiler. A product that talks in text lines has a request and a reply for each of the same
// quantities instead of a register; cells then say which numbers a value can be.
//
// Plain values, read from TOML by read_register_map() (register_map_reader.hpp) and never changed
// afterwards. Addresses are the ones on the wire (zero based). Byte and word order are those of
// IEC 61131-style 32-bit values in 16-bit registers; the Modbus standard defines none, so each
// register states its own.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "recipes/quantity/quantity.hpp"

namespace padtrim::language {

enum class RegisterTable { holding, input, coil, discrete };
enum class Cell { u16, i16, u32, i32, f32, bits, ascii };
enum class Order { high_first, low_first };

// One named quantity of the product. `cells` values follow each other, `stride` registers apart
// (0: packed). For `bits` cells counts single bits of a coil/discrete table or of packed registers
// (bit 0 of the first register first); for `ascii` it counts characters, two to a register.
struct Register {
    RegisterTable table = RegisterTable::holding;
    std::uint16_t address = 0;
    Cell cell = Cell::u16;
    std::uint16_t cells = 1;
    std::uint16_t stride = 0;
    Order word_order = Order::high_first;
    Order byte_order = Order::high_first;
    // Forms of the lines (text_form.hpp) of a product that talks in text; "" for registers.
    std::string ask{}, reply{};
    friend bool operator==(const Register&, const Register&) = default;
};

// Registers (16 bits) that one value of this cell fills; 0 for bits and ascii, which pack.
[[nodiscard]] constexpr std::uint16_t registers_of(Cell cell) {
    switch (cell) {
        case Cell::u16:
        case Cell::i16:
            return 1;
        case Cell::u32:
        case Cell::i32:
        case Cell::f32:
            return 2;
        case Cell::bits:
        case Cell::ascii:
            return 0;
    }
    return 0;
}

// One write of a sequence (unlock, commit, restart, test mode): a value to a holding register or
// a coil, and how long the product wants before the next request.
struct Command {
    RegisterTable table = RegisterTable::holding;
    std::uint16_t address = 0;
    std::uint16_t value = 0;
    std::chrono::milliseconds settle{0};
    std::string say{}, reply{};  // the line and what answers it, for a product that talks in text
    friend bool operator==(const Command&, const Command&) = default;
};

// Fixed point: register value = round(value * 2^fraction_bits), kept in [minimum, maximum].
struct TrimFormat {
    Register where;  // cells = number of channels
    unsigned fraction_bits = 0;
    double minimum = 0.0;  // in the trim's own unit: 1 for gain, counts for offset
    double maximum = 0.0;
    Command set{};  // a product that talks in text: {channel} and {value}, or {values} of all
    friend bool operator==(const TrimFormat&, const TrimFormat&) = default;
};

enum class LineEnding { lf, cr, cr_lf };

// How a product talks in text lines. One attempt ends within `timeout`; there are 1 + retries.
struct TextLink {
    LineEnding ending = LineEnding::cr_lf;
    std::string refusal;  // form of a reply that refuses; "" when there is none
    std::chrono::milliseconds timeout{300};
    unsigned retries = 2;
    friend bool operator==(const TextLink&, const TextLink&) = default;
};

// Self-capacitance of electrodes, or mutual capacitance of transmit x receive crossings. A channel
// is what is read: electrode or node. A touch adds to an electrode and takes from a node; a
// bridged step adds to both. A node's channel is transmit line * receive lines + receive line.
enum class Sensing { self, mutual };

enum class KeyKind { button, slider, wheel, proximity };
[[nodiscard]] constexpr bool has_position(KeyKind kind) {
    return kind == KeyKind::slider || kind == KeyKind::wheel;
}

// What a user presses. Geometry is of the product, in mm from the panel's lower left corner, as
// seen by the finger; neighbours are the keys watched while this one is touched.
struct Key {
    std::string name;
    KeyKind kind = KeyKind::button;
    std::vector<std::uint16_t> channels;
    Millimetre x, y;           // centre
    Millimetre width, height;  // outline
    std::vector<std::string> neighbours;
    // Height at which the product is meant to report the fixture's largest conductive target;
    // 0 for keys that want to be touched.
    Millimetre operating_distance;
    friend bool operator==(const Key&, const Key&) = default;
};

// The unit's own reading of its supply: register * volts.
struct SupplyReading {
    Register where;
    double volts = 0.001;
    // V; 0 for a binary32, whose steps are finer than any supply is known.
    [[nodiscard]] double resolution() const { return where.cell == Cell::f32 ? 0.0 : volts; }
    friend bool operator==(const SupplyReading&, const SupplyReading&) = default;
};

// What a slider or wheel reports as the finger's place: `none` when it feels no finger, else 0 at
// the left (lower) end, or where a wheel begins, to `full` at the other end or after one turn.
struct PositionReport {
    Register where;  // one value a slider or wheel, in the order of the keys
    std::uint16_t full = 1000;
    std::uint16_t none = 65535;
    friend bool operator==(const PositionReport&, const PositionReport&) = default;
};

struct RegisterMap {
    std::string product;   // unit type, as recipes name it
    std::string revision;  // of this document
    std::uint8_t address = 1;
    Sensing sensing = Sensing::self;
    std::uint16_t transmit = 0, receive = 0;  // lines of mutual sensing; channels is their product
    std::uint16_t channels = 0;
    std::vector<Kilohertz> frequencies;  // sensing frequencies, 1 to 8
    std::optional<TextLink> lines{};     // a product that talks in text lines, not in Modbus RTU

    Register product_code;
    std::uint32_t product_code_value = 0;
    Register firmware;  // ascii or u16
    Register serial;    // ascii or u32: the electronic serial number

    std::vector<Command> enter_test_mode, leave_test_mode;
    Register test_mode;  // read back
    std::uint16_t test_mode_on = 1, test_mode_off = 0;

    Command scan_trigger;
    Register scan_done;     // one bit or u16: not 0 when the scan has ended
    Register scan_counter;  // u16 or u32, wraps
    std::chrono::milliseconds scan_time{0};
    Register raw_counts;        // cells = channels * frequencies; channel first, then frequency
    Register corrected_counts;  // the same layout, trims applied
    Register touch_report;      // bits, one a key, in the order of `keys`
    std::optional<PositionReport> position;
    std::optional<SupplyReading> supply;

    CountsPerPicofarad nominal_gain;
    Counts nominal_offset;
    TrimFormat gain_trim, offset_trim;
    std::vector<Command> unlock, commit;
    std::optional<Register> commit_done;  // not 0 when the commit has ended
    std::chrono::milliseconds commit_time{0};
    std::vector<Command> restart;
    std::chrono::milliseconds boot_time{0};  // from power or restart to the first answer

    Millimetre panel_width, panel_height;
    Millimetre overlay;  // thickness that the product specifies
    std::vector<Key> keys;
    friend bool operator==(const RegisterMap&, const RegisterMap&) = default;
};

}  // namespace padtrim::language
