// What a register covers: addresses on the wire, and the numbers that its cell can hold. Pure.
#pragma once

#include <cstdint>
#include <vector>

#include "recipes/language/register_map.hpp"

namespace padtrim::language {

// Coils and discrete inputs hold single bits.
[[nodiscard]] constexpr bool is_bit_table(Table table) {
    return table == Table::coil || table == Table::discrete;
}

struct HeldRange {
    double low = 0.0, high = 0.0;
};
// Whole numbers of a cell; both 0 for cells that hold none.
[[nodiscard]] HeldRange range_of(Cell cell);

// Registers (or bits, in a bit table) that a register description fills.
[[nodiscard]] std::vector<std::uint32_t> addresses_of(const Register& where);
[[nodiscard]] std::uint32_t last_address(const Register& where);

}  // namespace padtrim::language
