// How long an exchange with a device takes on its link at least: bytes on the wire, no thinking.
// Pure; times in ms.
#pragma once

#include "recipes/language/fixture_profile.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::language {

// Characters on a serial line.
[[nodiscard]] Millisecond characters_time(const LineSettings& line, double characters);
// Bytes of data that a register's values fill.
[[nodiscard]] double data_bytes_of(const Register& where);
// One request and its reply with so many bytes of data, over Modbus RTU.
[[nodiscard]] Millisecond transaction_time(const LineSettings& line, double data_bytes);
// One quantity asked for: registers, or two lines whose values have five characters each.
[[nodiscard]] Millisecond asking_time(const RegisterMap& map, const LineSettings& line,
                                      const Register& where);
// One write, or two lines.
[[nodiscard]] Millisecond telling_time(const RegisterMap& map, const LineSettings& line,
                                       const Command& command);

}  // namespace padtrim::language
