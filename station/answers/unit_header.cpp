#include "station/answers/unit_header.hpp"

#include <algorithm>
#include <cmath>

#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "recipes/language/load.hpp"
#include "recipes/language/register_extent.hpp"
#include "station/answers/correction_c.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using language::Register;

std::string upper(std::string name) {
    for (char& c : name) {
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    }
    return name;
}

// What stands in a C comment or string: nothing there may end it.
std::string harmless(const std::string& words) {
    std::string text;
    for (const char c : printable(words, 80)) text += c == '*' || c == '"' || c == '\\' ? '_' : c;
    return text;
}

// A line's form as a C string: ASCII, with no trigraph.
std::string c_string(const std::string& text) {
    std::string quoted = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte < 0x20 || byte > 0x7E) {
            quoted += fmt::format("\\{:03o}", byte);
        } else {
            if (c == '"' || c == '\\' || c == '?') quoted += '\\';
            quoted += c;
        }
    }
    return quoted + '"';
}

class Header {
  public:
    Header(const language::RegisterMap& map, std::string name)
        : map_(map), lower_(std::move(name)), upper_(upper(lower_)) {}

    std::string text(const std::string& map_hash) {
        opening(map_hash);
        product();
        registers();
        sequences();
        trims();
        text_ += correction_in_c(map_, lower_, upper_);
        text_ += "\n#endif\n";
        return std::move(text_);
    }

  private:
    void define(const std::string& what, const std::string& value, const std::string& why = "") {
        text_ += fmt::format("#define {}_{} {}", upper_, what, value);
        text_ += why.empty() ? "\n" : fmt::format(" /* {} */\n", why);
    }
    void section(const std::string& words) { text_ += fmt::format("\n/* {} */\n", words); }

    void opening(const std::string& map_hash) {
        text_ += fmt::format(
            "/* {}, register map revision {}: made by padtrim from the map, not to be edited.\n"
            " * Firmware that takes addresses, formats and the correction from here agrees with\n"
            " * the station; make it again whenever the map changes. C99, needs <stdint.h> only. "
            "*/\n"
            "#ifndef {}_REGISTERS_H\n#define {}_REGISTERS_H\n\n#include <stdint.h>\n\n",
            harmless(map_.product), harmless(map_.revision), upper_, upper_);
        define("MAP_REVISION", '"' + harmless(map_.revision) + '"');
        define("MAP_SHA256", '"' + map_hash + '"', "of the map's file");
    }

    void product() {
        section("The product.");
        if (!map_.lines) define("MODBUS_ADDRESS", std::to_string(map_.address));
        define("PRODUCT_CODE", fmt::format("UINT32_C(0x{:X})", map_.product_code_value));
        define("CHANNELS", std::to_string(map_.channels));
        define("FREQUENCIES", std::to_string(map_.frequencies.size()));
        define("READING(channel, frequency)",
               fmt::format("((channel) * {} + (frequency))", map_.frequencies.size()),
               "place among raw and corrected counts");
        for (std::size_t i = 0; i < map_.keys.size(); ++i) {
            define(fmt::format("KEY_{}_{}", i, upper(c_name(map_.keys[i].name))),
                   std::to_string(i));
        }
        define("KEYS", std::to_string(map_.keys.size()));
        define("SCAN_TIME_MS", std::to_string(map_.scan_time.count()));
        define("COMMIT_TIME_MS", std::to_string(map_.commit_time.count()), "at most");
        define("BOOT_TIME_MS", std::to_string(map_.boot_time.count()), "at most");
    }

    // A product that talks in text lines: {value}, {values} and so on stand for what changes.
    void line(const std::string& what, const std::string& asked, const std::string& answered,
              const std::string& why) {
        define(what, c_string(asked), why);
        define(what + "_REPLY", c_string(answered));
    }

    void place(const std::string& what, const Register& where, const std::string& why) {
        if (map_.lines) return line(what + "_ASK", where.ask, where.reply, why);
        constexpr int read_functions[] = {3, 4, 1, 2};  // Modbus: holding, input, coil, discrete
        define(what + "_READ_FUNCTION",
               std::to_string(read_functions[static_cast<int>(where.table)]), why);
        define(what + "_ADDRESS", std::to_string(where.address));
        define(what + "_VALUES", std::to_string(where.cells));
        const unsigned width = language::registers_of(where.cell);
        if (width == 0) return;
        const unsigned stride = where.stride != 0 ? where.stride : width;
        define(what + "_STRIDE", std::to_string(stride), "registers from one value to the next");
        if (where.cell == language::Cell::f32) return;
        text_ += accessors_in_c(where, lower_ + '_' + c_name(what), stride);
    }

    void registers() {
        section(map_.lines ? "What the station asks, and the form of the line that answers."
                           : "Registers: the Modbus function that reads them, the address on the "
                             "wire. get and put "
                             "work\n * on an image whose element 0 is the register at ADDRESS.");
        place("PRODUCT_CODE", map_.product_code, "names the product");
        place("FIRMWARE", map_.firmware, "version");
        place("SERIAL", map_.serial, "electronic serial number");
        place("TEST_MODE", map_.test_mode, "read back");
        define("TEST_MODE_ON", std::to_string(map_.test_mode_on));
        define("TEST_MODE_OFF", std::to_string(map_.test_mode_off));
        place("SCAN_DONE", map_.scan_done, "not 0 when the scan has ended");
        place("SCAN_COUNTER", map_.scan_counter, "counts scans and wraps");
        place("RAW", map_.raw_counts, "channel first, then frequency");
        place("CORRECTED", map_.corrected_counts, "the same with the trims applied");
        place("TOUCH_REPORT", map_.touch_report, "one bit a key");
        place("GAIN_TRIM", map_.gain_trim.where, "one a channel");
        place("OFFSET_TRIM", map_.offset_trim.where, "one a channel");
        if (map_.commit_done) place("COMMIT_DONE", *map_.commit_done, "not 0 when stored");
    }

    void sequence(const std::string& what, const std::vector<language::Command>& writes) {
        define(what + "_WRITES", std::to_string(writes.size()));
        for (std::size_t i = 0; i < writes.size(); ++i) {
            const bool coil = writes[i].table == language::RegisterTable::coil;
            if (map_.lines) {
                line(fmt::format("{}_{}_SAY", what, i), writes[i].say, writes[i].reply, "");
                continue;
            }
            define(fmt::format("{}_{}_ADDRESS", what, i), std::to_string(writes[i].address),
                   coil ? "coil" : "holding register");
            define(fmt::format("{}_{}_VALUE", what, i), fmt::format("0x{:04X}u", writes[i].value));
        }
    }

    void sequences() {
        section("What the station writes to command the unit.");
        sequence("SCAN_TRIGGER", {map_.scan_trigger});
        sequence("ENTER_TEST_MODE", map_.enter_test_mode);
        sequence("LEAVE_TEST_MODE", map_.leave_test_mode);
        sequence("UNLOCK", map_.unlock);
        sequence("COMMIT", map_.commit);
        sequence("RESTART", map_.restart);
    }

    void trim(const std::string& what, const language::TrimFormat& format, double neutral) {
        if (map_.lines) line(what + "_SET", format.set.say, format.set.reply, "");
        const double scale = std::ldexp(1.0, static_cast<int>(format.fraction_bits));
        const auto whole = [](double value) { return fmt::format("INT64_C({:.0f})", value); };
        define(what + "_FRACTION_BITS", std::to_string(format.fraction_bits));
        define(what + "_MINIMUM", whole(std::ceil(format.minimum * scale)),
               "as the register holds it");
        define(what + "_MAXIMUM", whole(std::floor(format.maximum * scale)));
        define(what + "_NOMINAL", whole(std::nearbyint(neutral * scale)),
               "of a unit that is nominal untrimmed");
    }

    void trims() {
        section("Trims: fixed point, value times 2 to the fraction bits.");
        trim("GAIN_TRIM", map_.gain_trim, 1.0);
        trim("OFFSET_TRIM", map_.offset_trim, map_.nominal_offset.value());
    }

    const language::RegisterMap& map_;
    std::string lower_, upper_, text_;
};

}  // namespace

std::string c_name(const std::string& words) {
    std::string name;
    for (const char c : words) {
        const bool digit = c >= '0' && c <= '9';
        const bool small = c >= 'a' && c <= 'z';
        const bool large = c >= 'A' && c <= 'Z';
        if (digit || small) name += c;
        if (large) name += static_cast<char>(c - 'A' + 'a');
        if (!digit && !small && !large && !name.empty() && name.back() != '_') name += '_';
    }
    while (!name.empty() && name.back() == '_') name.pop_back();
    if (name.empty() || (name[0] >= '0' && name[0] <= '9')) name = "unit_" + name;
    while (name.back() == '_') name.pop_back();
    return name;
}

std::string header_text(const language::RegisterMap& map, const std::string& name,
                        const std::string& map_hash) {
    return Header(map, name).text(map_hash);
}

HeaderAnswer unit_header(const std::string& map_path, const std::string& name) {
    HeaderAnswer answer;
    const auto text = language::read_text(map_path);
    answer.diagnostics = text.diagnostics;
    if (!text.value) return answer;
    auto read = language::read_register_map(*text.value, map_path);
    answer.diagnostics = std::move(read.diagnostics);
    if (!read.value || !answer.diagnostics.empty()) return answer;
    UnitHeader header;
    header.product = read.value->product;
    header.revision = read.value->revision;
    header.name = c_name(name.empty() ? header.product : name);
    header.map_hash = language::hash_of(*text.value);
    header.text = header_text(*read.value, header.name, header.map_hash);
    answer.header = std::move(header);
    return answer;
}

Json to_json(const UnitHeader& header) {
    return boost::json::object{{"product", header.product},
                               {"map_revision", header.revision},
                               {"name", header.name},
                               {"map_sha256", header.map_hash},
                               {"text", header.text}};
}

}  // namespace padtrim::answers
