#include <algorithm>
#include <cstdio>

#include "recipes/language/layouts.hpp"
#include "recipes/language/register_extent.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {

using document::at_least;
using document::between;
using document::Field;
using document::Fields;
using document::may;
using document::must;

namespace {

// Two lines instead of an address; whether they are there.
bool describe_lines(Fields& f, std::string_view key, std::string& asked, std::string& reply) {
    if (!f.present(key, !asked.empty())) return false;
    f.text(may(key, "the line to the product, for one that talks in lines"), asked);
    f.text(Field{"reply", "the line that it answers", false}, reply);
    if (f.reading() && reply.empty() && !f.present("reply", false))
        f.complain("", "a line has no reply here",
                   "Add reply = \"OK\", say: what the product answers.");
    return f.reading() || f.writing();
}

// The table is a key by itself: { input = 12, cell = "u32" }.
template <class T>
void describe_address(Fields& f, T& where, std::initializer_list<RegisterTable> tables,
                      const std::string& mend) {
    std::size_t named = 0;
    for (const auto table : {RegisterTable::input, RegisterTable::discrete}) {
        if (std::find(tables.begin(), tables.end(), table) != tables.end()) continue;
        if (!f.reading() || !f.present(word_of(table), false)) continue;
        return f.complain(word_of(table), "this table cannot be written", mend);
    }
    for (const auto table : tables) {
        if (!f.present(word_of(table), where.table == table)) continue;
        f.add(Field{word_of(table), "address on the wire, from 0; one of these tables", false},
              where.address);
        if (f.reading()) where.table = table;
        ++named;
    }
    if (f.reading() && named != 1)
        f.complain("", named == 0 ? "no address is given here" : "two addresses are given here",
                   mend);
}

void describe_trim(Fields& f, TrimFormat& trim, std::string_view unit) {
    describe(f, trim.where);
    f.shape(unit == "1" ? "gain trim" : "offset trim");
    f.add(may("fraction_bits", "the register holds the value times 2 to this power"),
          trim.fraction_bits, between(0, 30));
    f.quantity(must("minimum", "smallest value that the product takes"), trim.minimum, unit, {});
    f.quantity(must("maximum", "largest value that the product takes"), trim.maximum, unit, {});
    if (f.present("set", !trim.set.say.empty()))
        f.add(may("set",
                  "writes the trim, for a product that talks in lines: {channel} and "
                  "{value}, or {values} of all"),
              trim.set);
}

void describe_text_link(Fields& f, TextLink& link) {
    f.add(may("ending", "what ends a line"), link.ending);
    f.text(may("refusal", "form of a reply that refuses"), link.refusal);
    f.add(may("timeout", "one attempt ends by then"), link.timeout, between(1, 60000));
    f.add(may("retries", "attempts after the first"), link.retries, between(0, 100));
}

// What a register takes over from the document unless it says otherwise.
void preset(RegisterMap& map, Order words, Order bytes) {
    for (Register* each :
         {&map.product_code, &map.firmware, &map.serial, &map.test_mode, &map.scan_done,
          &map.scan_counter, &map.raw_counts, &map.corrected_counts, &map.touch_report,
          &map.gain_trim.where, &map.offset_trim.where}) {
        each->word_order = words;
        each->byte_order = bytes;
    }
    const auto readings = static_cast<std::uint16_t>(map.channels * map.frequencies.size());
    map.raw_counts.cells = map.corrected_counts.cells = readings;
    map.gain_trim.where.cells = map.offset_trim.where.cells = map.channels;
    map.touch_report.cell = Cell::bits;
    map.touch_report.cells = static_cast<std::uint16_t>(map.keys.size());
}

void describe_identity(Fields& f, RegisterMap& map) {
    f.add(must("product_code", "number that names the product"), map.product_code);
    f.add(must("product_code_value", "what stands in it"), map.product_code_value);
    f.add(must("firmware", "version, a text or a number"), map.firmware);
    f.add(must("serial", "electronic serial number, a text or a number"), map.serial);
}

void describe_test_mode(Fields& f, RegisterMap& map) {
    f.add(must("enter", "writes that freeze the adaptive firmware"), map.enter_test_mode);
    f.add(must("leave", "writes that let it go again"), map.leave_test_mode);
    f.add(must("read_back", "where the mode is read back"), map.test_mode);
    f.add(may("on", "what stands there in test mode"), map.test_mode_on);
    f.add(may("off", "what stands there outside it"), map.test_mode_off);
}

void describe_scan(Fields& f, RegisterMap& map) {
    f.add(must("trigger", "write that starts one scan"), map.scan_trigger);
    f.add(must("done", "not 0 when the scan has ended"), map.scan_done);
    f.add(must("counter", "counts scans and wraps"), map.scan_counter);
    f.add(must("time", "one scan takes"), map.scan_time, between(1, 60000));
    f.add(must("raw", "counts, channel first, then frequency"), map.raw_counts);
    f.add(must("corrected", "the same with the trims applied"), map.corrected_counts);
    f.add(must("touch_report", "one bit a key, in the order of the keys"), map.touch_report);
}

void describe_trims(Fields& f, RegisterMap& map, Order words, Order bytes) {
    f.add(must("nominal_gain", "what trimmed units have"), map.nominal_gain, document::above(0));
    f.add(must("nominal_offset", "what trimmed units have"), map.nominal_offset);
    f.table(must("gain", "gain trim, one a channel"),
            [&](Fields& below) { describe_trim(below, map.gain_trim, "1"); });
    f.table(must("offset", "offset trim, one a channel"),
            [&](Fields& below) { describe_trim(below, map.offset_trim, "counts"); });
    f.add(may("unlock", "writes before trims can be written"), map.unlock);
    f.add(must("commit", "writes that store the trims for good"), map.commit);
    if (f.reading() && f.present("commit_done", false)) {
        map.commit_done.emplace();
        map.commit_done->word_order = words;
        map.commit_done->byte_order = bytes;
    }
    f.add(may("commit_done", "not 0 when they are stored"), map.commit_done);
    f.add(must("commit_time", "until they are stored, at most"), map.commit_time,
          between(0, 60000));
    f.add(may("restart", "writes that restart the product"), map.restart);
    f.add(must("boot_time", "from power or restart to the first answer"), map.boot_time,
          between(0, 60000));
}

// An optional part takes over the document's orders like every other register.
template <class Part, class Describe>
void describe_optional(Fields& f, const document::Field& field, std::optional<Part>& part,
                       Order words, Order bytes, const Describe& describe_it) {
    if (!f.present(field.key, part.has_value())) return;
    Part inner = part.value_or(Part{});
    if (f.reading()) {
        inner.where.word_order = words;
        inner.where.byte_order = bytes;
    }
    f.table(field, [&](Fields& below) { describe_it(below, inner); });
    part = std::move(inner);
}

void describe_supply(Fields& f, SupplyReading& supply) {
    f.add(must("register", "where the unit's own reading of its supply stands"), supply.where);
    f.add(may("volts", "V for each count"), supply.volts, document::above(0));
}

void describe_position(Fields& f, PositionReport& position) {
    f.add(must("register", "one value a slider or wheel, in the order of the keys"),
          position.where);
    f.add(may("full", "what stands there at the far end, or after one turn"), position.full,
          between(1, 65535));
    f.add(may("none", "what stands there without a finger"), position.none);
}

void describe_panel(Fields& f, RegisterMap& map) {
    f.add(must("width", "of the panel"), map.panel_width, document::above(0));
    f.add(must("height", "of the panel"), map.panel_height, document::above(0));
    f.add(must("overlay", "thickness in front of the electrodes"), map.overlay, between(0, 100));
}

}  // namespace

void describe(Fields& f, Register& where) {
    f.shape("register");
    if (!describe_lines(f, "ask", where.ask, where.reply))
        describe_address(f, where,
                         {RegisterTable::holding, RegisterTable::input, RegisterTable::coil,
                          RegisterTable::discrete},
                         "Write one of holding = N, input = N, coil = N, discrete = N.");
    if (f.reading() && is_bit_table(where.table)) where.cell = Cell::bits;
    f.add(
        may("cell",
            "what one value is made of; a coil or discrete is always bits, and f32 stands for the "
            "supply alone"),
        where.cell);
    f.add(may("cells",
              "how many values; follows from the rest of the map for readings, trims and touch "
              "report"),
          where.cells, between(1, 65535));
    f.add(may("stride", "registers from one value to the next; 0 is packed"), where.stride);
    f.add(may("word_order", "which half of a 32-bit value comes first"), where.word_order);
    f.add(may("byte_order", "which half of a register comes first"), where.byte_order);
}

void describe(Fields& f, Command& command) {
    f.shape("write");
    const bool lines = describe_lines(f, "say", command.say, command.reply);
    if (!lines) {
        describe_address(f, command, {RegisterTable::holding, RegisterTable::coil},
                         "Write holding = N, or coil = N.");
        f.add(Field{"value", "what to write; an address has one", f.reading() || f.writing()},
              command.value);
    }
    f.add(may("settle", "how long to wait afterwards"), command.settle, between(0, 60000));
}

namespace {

struct Crossing {
    std::uint16_t transmit = 0, receive = 0;
};

// "T1 R0": transmit line 1, receive line 0.
std::optional<Crossing> node_of(const std::string& text) {
    unsigned transmit = 0, receive = 0;
    int end = 0;
    if (std::sscanf(text.c_str(), "T%4u R%4u%n", &transmit, &receive, &end) != 2 ||
        text.size() != static_cast<std::size_t>(end))
        return std::nullopt;
    return Crossing{static_cast<std::uint16_t>(transmit), static_cast<std::uint16_t>(receive)};
}

// Nodes stand for channels; the canonical text has the channels.
void describe_nodes(Fields& f, Key& key, const RegisterMap& map) {
    std::vector<std::string> nodes;
    f.add(may("nodes", "of mutual sensing, such as \"T1 R0\", instead of channels"), nodes);
    if (!f.reading()) return;
    for (const auto& text : nodes) {
        const auto node = node_of(text);
        if (!node || node->transmit >= map.transmit || node->receive >= map.receive)
            return f.complain("nodes", "the product has no node \"" + text + "\"",
                              "Write \"T1 R0\" for transmit line 1 and receive line 0; lines count "
                              "from 0.");
        key.channels.push_back(
            static_cast<std::uint16_t>(node->transmit * map.receive + node->receive));
    }
}

void describe_key(Fields& f, Key& key, const RegisterMap& map) {
    f.add(must("name", "of the key"), key.name);
    f.add(may("kind", "what it is for"), key.kind);
    const bool by_nodes =
        f.reading() && map.sensing == Sensing::mutual && f.present("nodes", false);
    // Asked for, but for keys that name nodes.
    const Field channels{"channels", "from 0; not beside nodes", f.reading()};
    if (!by_nodes) f.add(channels, key.channels);
    if (!f.writing() && (!f.reading() || by_nodes)) describe_nodes(f, key, map);
    f.add(must("x", "of its centre, from the panel's lower left corner"), key.x);
    f.add(must("y", "of its centre"), key.y);
    f.add(must("width", "of its outline"), key.width, document::above(0));
    f.add(must("height", "of its outline"), key.height, document::above(0));
    f.add(may("neighbours", "keys that are watched while it is touched"), key.neighbours);
    f.add(may("operating_distance", "from which a proximity pad is meant to report"),
          key.operating_distance, at_least(0));
}

// How the product senses, and so how many channels there are.
void describe_sensing(Fields& f, RegisterMap& map) {
    f.add(may("sensing", "capacitance of electrodes, or of transmit x receive crossings"),
          map.sensing);
    const bool mutual = map.sensing == Sensing::mutual;
    if (mutual || !(f.reading() || f.writing())) {
        f.add(may("transmit", "lines, when sensing is mutual"), map.transmit, between(0, 64));
        f.add(may("receive", "lines, when sensing is mutual"), map.receive, between(0, 64));
    }
    if (!mutual || f.writing() || f.present("channels", false))
        return f.add(
            Field{"channels", "how many electrodes; nodes follow from the lines", f.reading()},
            map.channels, between(1, 1024));
    map.channels = static_cast<std::uint16_t>(map.transmit * map.receive);
    if (map.channels == 0)
        f.complain("sensing", "mutual sensing needs transmit and receive lines",
                   "Add transmit = 4 and receive = 3, say.");
}

}  // namespace

void describe(Fields& f, RegisterMap& map) {
    describe_kind(f, map_kind);
    f.add(must("product", "unit type, as recipes name it"), map.product);
    f.add(must("revision", "of this document"), map.revision);
    f.add(may("address", "Modbus address of the unit"), map.address, between(1, 247));
    describe_sensing(f, map);
    f.add(must("frequencies", "sensing frequencies, 1 to 8"), map.frequencies, document::above(0));
    if (f.present("lines", map.lines.has_value())) {
        TextLink link = map.lines.value_or(TextLink{});
        f.table(may("lines", "the product talks in text lines; without it, in Modbus RTU"),
                [&](Fields& below) { describe_text_link(below, link); });
        map.lines = std::move(link);
    }
    Order words = Order::high_first;
    Order bytes = Order::high_first;
    if (!f.writing()) {
        f.add(may("word_order", "of registers that do not say otherwise"), words);
        f.add(may("byte_order", "of registers that do not say otherwise"), bytes);
    }
    f.table(must("panel", "the panel as the finger meets it"),
            [&](Fields& below) { describe_panel(below, map); });
    f.tables(
        must("key", "the panel's keys"), map.keys.size(),
        [&](std::size_t count) { map.keys.resize(count); },
        [&](Fields& below, std::size_t i) { describe_key(below, map.keys[i], map); });
    if (f.reading()) preset(map, words, bytes);
    f.table(must("identity", "who the unit is"),
            [&](Fields& below) { describe_identity(below, map); });
    f.table(must("test_mode", "the state in which adaptive firmware is frozen"),
            [&](Fields& below) { describe_test_mode(below, map); });
    f.table(must("scan", "taking readings"), [&](Fields& below) { describe_scan(below, map); });
    describe_optional(f, may("supply", "the unit's own reading of its supply"), map.supply, words,
                      bytes, describe_supply);
    describe_optional(f, may("position", "what sliders and wheels report"), map.position, words,
                      bytes, describe_position);
    if (f.reading() && map.position)
        map.position->where.cells = static_cast<std::uint16_t>(
            std::count_if(map.keys.begin(), map.keys.end(),
                          [](const Key& key) { return has_position(key.kind); }));
    f.table(must("trims", "adjusting the unit"),
            [&](Fields& below) { describe_trims(below, map, words, bytes); });
}

}  // namespace padtrim::language
