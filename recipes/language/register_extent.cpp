#include "recipes/language/register_extent.hpp"

namespace padtrim::language {
namespace {

// Registers from the first value to behind the last one, when they are packed.
std::uint32_t packed_width(const Register& where) {
    if (is_bit_table(where.table)) return where.cells;
    if (where.cell == Cell::bits) return (where.cells + 15U) / 16U;
    if (where.cell == Cell::ascii) return (where.cells + 1U) / 2U;
    return std::uint32_t{where.cells} * registers_of(where.cell);
}

}  // namespace

std::vector<NamedRegister> values_of(const RegisterMap& map) {
    std::vector<NamedRegister> all{{"identity.product_code", &map.product_code},
                                   {"identity.firmware", &map.firmware},
                                   {"identity.serial", &map.serial},
                                   {"scan.counter", &map.scan_counter},
                                   {"scan.raw", &map.raw_counts},
                                   {"scan.corrected", &map.corrected_counts},
                                   {"scan.touch_report", &map.touch_report},
                                   {"trims.gain", &map.gain_trim.where},
                                   {"trims.offset", &map.offset_trim.where}};
    if (map.supply) all.push_back({"supply.register", &map.supply->where});
    if (map.position) all.push_back({"position.register", &map.position->where});
    return all;
}

std::vector<NamedRegister> all_registers(const RegisterMap& map) {
    auto all = values_of(map);
    all.push_back({"test_mode.read_back", &map.test_mode});
    all.push_back({"scan.done", &map.scan_done});
    if (map.commit_done) all.push_back({"trims.commit_done", &*map.commit_done});
    return all;
}

HeldRange range_of(Cell cell) {
    switch (cell) {
        case Cell::u16:
            return {0.0, 65535.0};
        case Cell::i16:
            return {-32768.0, 32767.0};
        case Cell::u32:
            return {0.0, 4294967295.0};
        case Cell::i32:
            return {-2147483648.0, 2147483647.0};
        case Cell::f32:
        case Cell::bits:
        case Cell::ascii:
            return {};
    }
    return {};
}

std::vector<std::uint32_t> addresses_of(const Register& where) {
    const std::uint32_t width = registers_of(where.cell);
    std::vector<std::uint32_t> all;
    if (where.stride == 0 || width == 0) {
        for (std::uint32_t i = 0; i < packed_width(where); ++i) all.push_back(where.address + i);
        return all;
    }
    for (std::uint32_t value = 0; value < where.cells; ++value)
        for (std::uint32_t i = 0; i < width; ++i)
            all.push_back(where.address + value * where.stride + i);
    return all;
}

std::uint32_t last_address(const Register& where) {
    const auto all = addresses_of(where);
    return all.empty() ? where.address : all.back();
}

}  // namespace padtrim::language
