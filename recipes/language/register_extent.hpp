// What a register covers: addresses on the wire, and the numbers that its cell can hold. Pure.
#pragma once

#include <cstdint>
#include <vector>

#include "recipes/language/register_map.hpp"

namespace padtrim::language {

// Coils and discrete inputs hold single bits.
[[nodiscard]] constexpr bool is_bit_table(RegisterTable table) {
    return table == RegisterTable::coil || table == RegisterTable::discrete;
}

struct NamedRegister {
    const char* path;  // in the document
    const Register* where;
};
// Those that each hold something of their own, so that two of them cannot share an address.
[[nodiscard]] std::vector<NamedRegister> values_of(const RegisterMap& map);
// These and the flags that may lie in another one's bits.
[[nodiscard]] std::vector<NamedRegister> all_registers(const RegisterMap& map);

struct HeldRange {
    double low = 0.0, high = 0.0;
};
// Whole numbers of a cell; both 0 for cells that hold none.
[[nodiscard]] HeldRange range_of(Cell cell);

// Registers (or bits, in a bit table) that a register description fills.
[[nodiscard]] std::vector<std::uint32_t> addresses_of(const Register& where);
[[nodiscard]] std::uint32_t last_address(const Register& where);

}  // namespace padtrim::language
