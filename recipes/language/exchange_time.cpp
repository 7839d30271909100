#include "recipes/language/exchange_time.hpp"

namespace padtrim::language {
namespace {

// Frames of Modbus RTU: 8 bytes of request; 5 of reply beside the data; 3.5 characters of silence
// before each (MODBUS over serial line, V1.02). A character is 11 bits on the wire.
constexpr double request_characters = 8.0, reply_characters = 5.0, silent_characters = 7.0;
constexpr double bits_per_character = 11.0;

}  // namespace

Millisecond characters_time(const LineSettings& line, double characters) {
    return Millisecond(characters * bits_per_character * 1000.0 / line.baud);
}

double data_bytes_of(const Register& where) {
    const int registers = registers_of(where.cell);
    if (registers > 0) return 2.0 * registers * where.cells;
    return where.cell == Cell::ascii ? where.cells : (where.cells + 7) / 8;
}

Millisecond transaction_time(const LineSettings& line, double data_bytes) {
    return characters_time(line,
                           request_characters + reply_characters + silent_characters + data_bytes);
}

Millisecond asking_time(const RegisterMap& map, const LineSettings& line, const Register& where) {
    if (!map.lines) return transaction_time(line, data_bytes_of(where));
    const double endings = map.lines->ending == LineEnding::cr_lf ? 4.0 : 2.0;
    const bool short_cells = where.cell == Cell::bits || where.cell == Cell::ascii;
    const double values = short_cells ? where.cells : 5.0 * where.cells;
    return characters_time(
        line, static_cast<double>(where.ask.size() + where.reply.size()) + endings + values);
}

Millisecond telling_time(const RegisterMap& map, const LineSettings& line, const Command& command) {
    if (!map.lines) return transaction_time(line, 2.0);
    return characters_time(line,
                           static_cast<double>(command.say.size() + command.reply.size()) + 4.0);
}

}  // namespace padtrim::language
