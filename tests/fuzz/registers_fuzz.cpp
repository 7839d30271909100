// libFuzzer harness for values in registers: what is read from any words, written back, gives the
// same words (text: the same text), in every cell, order and table.
#include <cmath>
#include <cstdlib>
#include <vector>

#include "fixtures/codec/registers.hpp"

namespace {

using namespace padtrim::codec;
using padtrim::language::Cell;
using padtrim::language::Order;
using padtrim::language::Register;
using padtrim::language::RegisterTable;

void expect(bool holds) {
    if (!holds) std::abort();
}

Register register_of(const std::uint8_t* data) {
    Register where;
    where.table = static_cast<Table>(data[0] % 4);
    where.cell = static_cast<Cell>(data[1] % 7);
    where.cells = static_cast<std::uint16_t>(1 + data[2] % 40);
    where.stride = static_cast<std::uint16_t>(data[3] % 4);
    // A map's reader refuses strides that let values overlap, and strides of packed cells.
    const auto own = padtrim::language::registers_of(where.cell);
    if (where.stride < own || own == 0) where.stride = 0;
    where.word_order = static_cast<Order>(data[4] % 2);
    where.byte_order = static_cast<Order>(data[5] % 2);
    return where;
}

void try_text(const Register& where, std::vector<std::uint16_t> words) {
    const std::string text = text_at(where, words);
    expect(put_text(where, words, text) && text_at(where, words) == text);
}

void try_numbers(const Register& where, const std::vector<std::uint16_t>& words) {
    std::vector<std::uint16_t> copy = words;
    for (std::size_t at = 0; at < where.cells; ++at) {
        const double value = number_at(where, words, at);
        expect(put_number(where, copy, at, value));
        const double again = number_at(where, copy, at);
        expect(again == value || (std::isnan(again) && std::isnan(value)));
        (void)integer_at(where, words, at);
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < 6) return 0;
    const Register where = register_of(data);
    std::vector<std::uint16_t> words;
    for (std::size_t at = 6; at + 1 < size; at += 2)
        words.push_back(static_cast<std::uint16_t>(data[at] << 8 | data[at + 1]));
    if (words.size() < span_of(where)) return 0;
    const bool bits = is_bit_table(where.table);
    if (where.cell == Cell::ascii && !bits) try_text(where, words);
    if (where.cell != Cell::ascii) try_numbers(where, words);
    return 0;
}
