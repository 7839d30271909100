// A fixture profile's text with a nest's origin as it was taught; every other character as it was.
//
// Origins are written in hundredths of a millimetre. The new text is read again, and must say what
// was wanted and nothing else; otherwise there is a sentence instead of a text. Pure.
#pragma once

#include <string>

#include "recipes/language/refresh_profile.hpp"

namespace padtrim::language {

// To a hundredth of a millimetre, as it is written.
[[nodiscard]] Millimetre as_written(Millimetre origin);

// `text` is a sound profile with this nest.
[[nodiscard]] RefreshedProfile profile_with_origin(const std::string& text,
                                                   const std::string& file_name, std::uint16_t nest,
                                                   Millimetre x, Millimetre y);

}  // namespace padtrim::language
