#include <cmath>
#include <map>
#include <set>

#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/register_extent.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {
namespace {

using document::Document;

constexpr std::size_t most_frequencies = 8;

void check_register(Document& document, const NamedRegister& each) {
    const Register& where = *each.where;
    if (!where.ask.empty()) return;  // check_text_link() looks at it
    const std::string cell(word_of(where.cell));
    const bool bit_table = is_bit_table(where.table);
    if (bit_table && where.cell != Cell::bits)
        return document.complain(
            std::string(each.path) + ".cell",
            "a " + std::string(word_of(where.table)) + " is one bit, not " + cell,
            "Leave cell out, or write cell = \"bits\".");
    if (where.stride != 0 && where.stride < registers_of(where.cell))
        return document.complain(std::string(each.path) + ".stride",
                                 "values of " + cell + " overlap at this stride",
                                 "Write at least " + std::to_string(registers_of(where.cell)) +
                                     ", or leave stride out for packed values.");
    if (last_address(where) > 65535)
        document.complain(each.path, "this runs past the last address, 65535",
                          "Check address, cells and stride.");
}

void check_overlaps(Document& document, const RegisterMap& map) {
    if (!document.sound("channels") || !document.sound("frequencies")) return;
    std::map<std::pair<RegisterTable, std::uint32_t>, const char*> owners;
    for (const auto& each : values_of(map)) {
        if (!document.sound(each.path) || map.lines) continue;
        for (const auto address : addresses_of(*each.where)) {
            const auto [owner, fresh] = owners.try_emplace({each.where->table, address}, each.path);
            if (fresh || owner->second == each.path) continue;
            document.complain(each.path,
                              std::string(word_of(each.where->table)) + " address " +
                                  std::to_string(address) + " already belongs to " + owner->second,
                              "Check address, cells and stride of both.");
            break;
        }
    }
}

void want_cells(Document& document, const std::string& path, const Register& where,
                std::size_t wanted, const std::string& why) {
    if (where.cells == wanted || !document.sound(path) || !document.sound("channels") ||
        !document.sound("frequencies") || !document.sound("key"))
        return;
    document.complain(path + ".cells",
                      std::to_string(where.cells) + " values stand here; " + why + " make " +
                          std::to_string(wanted),
                      "Leave cells out: it follows from the rest.");
}

void want_cell(Document& document, const std::string& path, const Register& where,
               std::initializer_list<Cell> allowed) {
    if (!document.sound(path)) return;
    std::string words;
    for (const auto cell : allowed) {
        if (cell == where.cell) return;
        words += (words.empty() ? "" : ", ") + std::string(word_of(cell));
    }
    document.complain(path + ".cell",
                      in_quotes(word_of(where.cell)) + " cannot hold what this register means",
                      "Use one of: " + words + '.');
}

void check_forms(Document& document, const RegisterMap& map) {
    const std::initializer_list<Cell> wholes = {Cell::u16, Cell::i16, Cell::u32, Cell::i32};
    want_cell(document, "identity.product_code", map.product_code, {Cell::u16, Cell::u32});
    want_cell(document, "identity.firmware", map.firmware, {Cell::ascii, Cell::u16});
    want_cell(document, "identity.serial", map.serial, {Cell::ascii, Cell::u32});
    want_cell(document, "test_mode.read_back", map.test_mode, {Cell::u16, Cell::bits});
    want_cell(document, "scan.done", map.scan_done, {Cell::u16, Cell::bits});
    want_cell(document, "scan.counter", map.scan_counter, {Cell::u16, Cell::u32});
    want_cell(document, "scan.raw", map.raw_counts, wholes);
    want_cell(document, "scan.corrected", map.corrected_counts, wholes);
    want_cell(document, "scan.touch_report", map.touch_report, {Cell::bits});
    want_cell(document, "trims.gain", map.gain_trim.where, wholes);
    want_cell(document, "trims.offset", map.offset_trim.where, wholes);
    if (map.supply && (map.lines || map.supply->where.cell != Cell::f32))
        want_cell(document, "supply.register", map.supply->where, wholes);
    if (map.position) want_cell(document, "position.register", map.position->where, wholes);
    const auto readings = map.channels * map.frequencies.size();
    want_cells(document, "scan.raw", map.raw_counts, readings, "channels and frequencies");
    want_cells(document, "scan.corrected", map.corrected_counts, readings,
               "channels and frequencies");
    want_cells(document, "scan.touch_report", map.touch_report, map.keys.size(), "the keys");
    want_cells(document, "trims.gain", map.gain_trim.where, map.channels, "the channels");
    want_cells(document, "trims.offset", map.offset_trim.where, map.channels, "the channels");
}

void check_nodes(Document& document, const RegisterMap& map) {
    const int nodes = map.transmit * map.receive;
    if (map.sensing != Sensing::mutual || nodes == map.channels || !document.sound("channels"))
        return;
    document.complain("channels",
                      std::to_string(map.transmit) + " transmit and " +
                          std::to_string(map.receive) + " receive lines make " +
                          std::to_string(nodes) + " nodes",
                      "Leave channels out: it follows from the lines.");
}

void check_frequencies(Document& document, const RegisterMap& map) {
    if (!document.sound("frequencies")) return;
    std::set<Kilohertz> distinct(map.frequencies.begin(), map.frequencies.end());
    if (map.frequencies.size() > most_frequencies)
        document.complain("frequencies",
                          std::to_string(map.frequencies.size()) +
                              " sensing frequencies stand here; 8 is the most",
                          "Leave some out.");
    else if (distinct.size() != map.frequencies.size())
        document.complain("frequencies", "one sensing frequency stands here twice",
                          "Name each once, in the order in which the unit reports them.");
}

void check_test_mode(Document& document, const RegisterMap& map) {
    if (document.sound("test_mode") && map.test_mode_on == map.test_mode_off)
        document.complain("test_mode.on", "on and off read back as the same value",
                          "Write the two values between which the unit changes.");
    if (map.test_mode.cell == Cell::bits)
        for (const auto& [path, value] : {std::pair("test_mode.on", map.test_mode_on),
                                          std::pair("test_mode.off", map.test_mode_off)})
            if (value > 1 && document.sound("test_mode"))
                document.complain(path, "one bit is read back here, which holds 0 or 1",
                                  "Write one of them, or check read_back.");
    for (const char* path : {"test_mode.enter", "test_mode.leave"})
        if (document.sound(path) &&
            (path == std::string("test_mode.enter") ? map.enter_test_mode : map.leave_test_mode)
                .empty())
            document.complain(path, "no write stands here", "Write what changes the mode.");
}

void check_product_code(Document& document, const RegisterMap& map) {
    if (document.sound("identity") && map.product_code.cell == Cell::u16 &&
        map.product_code_value > 65535)
        document.complain("identity.product_code_value", "this value does not fit a u16",
                          "Write cell = \"u32\" for product_code, or check the value.");
}

// The shortest serial number that tells the units of a line apart: common practice, no source.
constexpr std::uint16_t fewest_serial_characters = 4;

// A text of one character is what cells = 1 stands for when it is left out.
void check_identity(Document& document, const RegisterMap& map) {
    const auto left_out = [&](const std::string& path) {
        return document::nearest_node(document.root(), path).find("cells") == nullptr;
    };
    if (document.sound("identity.serial") && map.serial.cell == Cell::ascii &&
        map.serial.cells < fewest_serial_characters)
        document.complain("identity.serial",
                          left_out("identity.serial")
                              ? "nothing says how many characters this serial number has"
                              : "a serial number of " + std::to_string(map.serial.cells) +
                                    " characters does not tell units apart",
                          "Write cells = 12, say: one for each character, at least 4.");
    if (document.sound("identity.firmware") && map.firmware.cell == Cell::ascii &&
        left_out("identity.firmware"))
        document.complain("identity.firmware", "nothing says how many characters this text has",
                          "Write cells = 8, say: one for each character.");
}

void check_position(Document& document, const RegisterMap& map) {
    if (!map.position || !document.sound("position")) return;
    const auto& position = *map.position;
    const double held = range_of(position.where.cell).high;
    const std::string holds = "the register's " + std::string(word_of(position.where.cell)) +
                              " holds up to " + document::number_text(held);
    if (position.full > held)
        return document.complain("position.full", holds, "Check full and the register's cell.");
    if (position.none <= position.full)
        return document.complain(
            "position.none", "this is a place between 0 and " + std::to_string(position.full),
            "Write what stands in the register without a finger, and nowhere on the track.");
    if (position.none > held)
        document.complain("position.none", holds, "Check none and the register's cell.");
}

// What the trim has to be for a unit that is nominal already must be inside its range.
void check_trim(Document& document, const std::string& path, const TrimFormat& trim, double nominal,
                std::string_view unit) {
    if (!document.sound(path) || !document.sound("trims.nominal_offset")) return;
    if (trim.minimum >= trim.maximum)
        return document.complain(path + ".minimum", "the range of this trim is empty",
                                 "Write minimum below maximum.");
    const auto held = range_of(trim.where.cell);
    const double scale = std::ldexp(1.0, static_cast<int>(trim.fraction_bits));
    if (trim.minimum * scale < held.low || trim.maximum * scale > held.high)
        return document.complain(path + (trim.minimum * scale < held.low ? ".minimum" : ".maximum"),
                                 "a " + std::string(word_of(trim.where.cell)) + " with " +
                                     std::to_string(trim.fraction_bits) +
                                     " fraction bits holds only " +
                                     document::number_text(held.low / scale) + " to " +
                                     document::quantity_text(held.high / scale, unit),
                                 "Narrow the range, or check cell and fraction_bits.");
    if (nominal < trim.minimum || nominal > trim.maximum)
        document.complain(path,
                          "a nominal unit needs a trim of " +
                              document::quantity_text(nominal, unit) + ", outside this range",
                          "Check minimum, maximum and the nominal values.");
}

void check_trims(Document& document, const RegisterMap& map) {
    check_trim(document, "trims.gain", map.gain_trim, 1.0, "1");
    check_trim(document, "trims.offset", map.offset_trim, map.nominal_offset.value(), "counts");
    if (document.sound("trims.gain") && map.gain_trim.minimum <= 0.0)
        document.complain("trims.gain.minimum", "a gain trim of 0 or less would erase the reading",
                          "Write a minimum above 0.");
    for (const auto& [path, table] : {std::pair("trims.gain", map.gain_trim.where.table),
                                      std::pair("trims.offset", map.offset_trim.where.table)})
        if (document.sound(path) && table != RegisterTable::holding)
            document.complain(path, "trims in this table cannot be written",
                              "Trims stand in holding registers.");
    if (document.sound("trims.commit") && map.commit.empty())
        document.complain("trims.commit", "no write stands here", "Write what stores the trims.");
}

}  // namespace

void check_document(Document& document, const RegisterMap& map) {
    for (const auto& each : all_registers(map))
        if (document.sound(each.path)) check_register(document, each);
    check_nodes(document, map);
    check_frequencies(document, map);
    check_forms(document, map);
    check_overlaps(document, map);
    check_product_code(document, map);
    check_test_mode(document, map);
    check_identity(document, map);
    check_position(document, map);
    check_commands(document, map);
    check_trims(document, map);
    check_text_link(document, map);
    check_keys(document, map);
}

}  // namespace padtrim::language
