#include "station/answers/correction_c.hpp"

#include <utility>

#include <fmt/format.h>

#include "recipes/language/correction.hpp"
#include "recipes/language/register_extent.hpp"

namespace padtrim::answers {
namespace {

using language::Cell;
using language::Order;
using language::Register;

struct CellInC {
    const char *type, *bits, *from_bits;
};

// from_bits: a C expression of `bits`, an unsigned; C99 leaves a plain conversion to the compiler.
CellInC in_c(Cell cell) {
    switch (cell) {
        case Cell::i16:
            return {"int16_t", "uint16_t",
                    "(int16_t)(bits > 0x7FFFu ? -(int32_t)(0xFFFFu - bits) - 1 : (int32_t)bits)"};
        case Cell::u32:
            return {"uint32_t", "uint32_t", "bits"};
        case Cell::i32:
            return {"int32_t", "uint32_t",
                    "bits > UINT32_C(0x7FFFFFFF) ? -(int32_t)(UINT32_C(0xFFFFFFFF) - bits) - 1 : "
                    "(int32_t)bits"};
        case Cell::u16:
        case Cell::f32:
        case Cell::bits:
        case Cell::ascii:
            break;
    }
    return {"uint16_t", "uint16_t", "bits"};
}

std::string word(const std::string& value, Order bytes) {
    if (bytes == Order::high_first) return fmt::format("(uint16_t)({})", value);
    return fmt::format("(uint16_t)(((({0}) & 0xFFu) << 8) | ((({0}) >> 8) & 0xFFu))", value);
}

std::string whole(std::int64_t value) {
    if (value < 0) return fmt::format("(-INT64_C({}) - 1)", -(value + 1));
    return fmt::format("INT64_C({})", value);
}

// Where no step leaves 64 bits.
std::string narrow_body(const language::Correction& correction) {
    const unsigned shift = correction.shift();
    const std::int64_t nominal = correction.nominal().high * (std::int64_t{1} << 32) +
                                 std::int64_t{correction.nominal().low};
    return fmt::format(
        "    const int64_t part = (int64_t)raw * (INT64_C(1) << {}) - (int64_t)offset;\n"
        "    const int64_t sum = part * (int64_t)gain + {};\n"
        "    const int negative = sum < 0;\n"
        "    const uint64_t size =\n"
        "        ((negative ? UINT64_C(0) - (uint64_t)sum : (uint64_t)sum) + UINT64_C({})) >> "
        "{};\n",
        correction.offset_bits(), whole(nominal), shift == 0 ? 0 : std::uint64_t{1} << (shift - 1),
        shift);
}

// The same with whole numbers kept as high * 2^32 + low, 0 <= low < 2^32.
std::string wide_body(const language::Correction& correction) {
    const unsigned shift = correction.shift();
    std::string text = fmt::format(
        "    const int64_t part = (int64_t)raw * (INT64_C(1) << {}) - (int64_t)offset;\n"
        "    const uint64_t p = part < 0 ? UINT64_C(0) - (uint64_t)part : (uint64_t)part;\n"
        "    const int64_t factor = (int64_t)gain;\n"
        "    const uint64_t g = factor < 0 ? UINT64_C(0) - (uint64_t)factor : (uint64_t)factor;\n"
        "    uint64_t low = (p & UINT64_C(0xFFFFFFFF)) * g;\n"
        "    int64_t high = (int64_t)((p >> 32) * g + (low >> 32));\n"
        "    uint64_t size;\n"
        "    int negative = (part < 0) != (factor < 0);\n"
        "    low &= UINT64_C(0xFFFFFFFF);\n"
        "    if (negative) {{\n"
        "        high = -high - (low != 0);\n"
        "        low = (UINT64_C(0x100000000) - low) & UINT64_C(0xFFFFFFFF);\n"
        "    }}\n"
        "    low += UINT64_C({});\n"
        "    high += {} + (int64_t)(low >> 32);\n"
        "    low &= UINT64_C(0xFFFFFFFF);\n"
        "    negative = high < 0;\n"
        "    if (negative) {{\n"
        "        high = -high - (low != 0);\n"
        "        low = (UINT64_C(0x100000000) - low) & UINT64_C(0xFFFFFFFF);\n"
        "    }}\n",
        correction.offset_bits(), correction.nominal().low, whole(correction.nominal().high));
    const std::uint64_t half = shift == 0 ? 0 : std::uint64_t{1} << (shift - 1);
    text += fmt::format(
        "    low += UINT64_C({});\n"
        "    high += INT64_C({}) + (int64_t)(low >> 32);\n"
        "    low &= UINT64_C(0xFFFFFFFF);\n",
        half & 0xFFFFFFFFU, half >> 32);
    if (shift >= 32) return text + fmt::format("    size = (uint64_t)high >> {};\n", shift - 32);
    return text + fmt::format(
                      "    size = high > INT64_C(0x3FFFFFFF)\n"
                      "               ? UINT64_C(0xFFFFFFFFFF) /* beyond every register */\n"
                      "               : ((uint64_t)high << {}) | (low >> {});\n",
                      32 - shift, shift);
}

// int64_t, so that no comparison is one that a compiler calls idle.
std::string allowed(const std::string& lower, const std::string& upper) {
    std::string text;
    for (const auto& [trim, limits] :
         {std::pair("gain_trim", "GAIN_TRIM"), std::pair("offset_trim", "OFFSET_TRIM")}) {
        text += fmt::format(
            "static inline int {0}_{2}_allowed(int64_t value)\n{{\n"
            "    return value >= {1}_{3}_MINIMUM && value <= {1}_{3}_MAXIMUM;\n}}\n\n",
            lower, upper, trim, limits);
    }
    return text;
}

}  // namespace

std::string accessors_in_c(const Register& where, const std::string& name, unsigned stride) {
    const CellInC cell = in_c(where.cell);
    const bool two = language::registers_of(where.cell) == 2;
    const unsigned high = where.word_order == Order::high_first ? 0 : 1;
    std::string get, put;
    if (two) {
        get = fmt::format(
            "    const uint32_t bits = ((uint32_t){} << 16) | {};\n",
            word(fmt::format("image[{} * index + {}]", stride, high), where.byte_order),
            word(fmt::format("image[{} * index + {}]", stride, 1 - high), where.byte_order));
        put = fmt::format(
            "    image[{0} * index + {1}] = {2};\n    image[{0} * index + {3}] = {4};\n", stride,
            high, word("bits >> 16", where.byte_order), 1 - high,
            word("bits & 0xFFFFu", where.byte_order));
    } else {
        get = fmt::format("    const uint16_t bits = {};\n",
                          word(fmt::format("image[{} * index]", stride), where.byte_order));
        put = fmt::format("    image[{} * index] = {};\n", stride, word("bits", where.byte_order));
    }
    return fmt::format(
        "static inline {0} {2}_get(const uint16_t *image, unsigned index)\n{{\n{4}"
        "    return {3};\n}}\n"
        "static inline void {2}_put(uint16_t *image, unsigned index, {0} value)\n{{\n"
        "    const {1} bits = ({1})value;\n{5}}}\n",
        cell.type, cell.bits, name, cell.from_bits, get, put);
}

std::string correction_in_c(const language::RegisterMap& map, const std::string& lower,
                            const std::string& upper) {
    const language::Correction correction(map);
    std::string text = "\n";
    text += allowed(lower, upper);
    const char* result = in_c(map.corrected_counts.cell).type;
    text += fmt::format(
        "/* corrected = (raw - offset trim) * gain trim + nominal offset, exact, then rounded to "
        "the\n * nearest (halves away from zero) and kept within {0}. Arguments as the registers "
        "hold\n * them. */\n"
        "static inline {0} {1}_correct({2} raw, {3} gain, {4} offset)\n{{\n",
        result, lower, in_c(map.raw_counts.cell).type, in_c(map.gain_trim.where.cell).type,
        in_c(map.offset_trim.where.cell).type);
    text += correction.fits_64_bits() ? narrow_body(correction) : wide_body(correction);
    text += fmt::format(
        "    if (negative)\n"
        "        return size > UINT64_C({0}) ? ({1}){2} : ({1})-(int64_t)size;\n"
        "    return size > UINT64_C({3}) ? ({1}){4} : ({1})size;\n}}\n",
        static_cast<std::uint64_t>(-correction.low()), result, whole(correction.low()),
        static_cast<std::uint64_t>(correction.high()), whole(correction.high()));
    return text;
}

}  // namespace padtrim::answers
