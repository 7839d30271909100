// A fixture profile's text with a renewed equipment record, every other character as it was:
// comments, order and blanks are the author's.
//
// Values are put where the old ones stand: tips of the rules, value of explicit entries, their
// uncertainties, certificate, dates and temperature. Rules state one uncertainty for all their
// tips: the largest. Numbers keep the digits after the point that the old ones had, four at least;
// uncertainties are rounded up. The new text is read again, and must say what was wanted and
// nothing else; otherwise there is a sentence instead of a text. Pure.
#pragma once

#include <optional>
#include <string>

#include "recipes/language/fixture_profile.hpp"

namespace padtrim::language {

struct RefreshedProfile {
    std::string text;
    std::string problem;  // "" when the text is good
};
// `text` is a sound profile; `record` has its steps and parts, with new values.
[[nodiscard]] RefreshedProfile refreshed_profile(const std::string& text,
                                                 const std::string& file_name,
                                                 const EquipmentRecord& record);

}  // namespace padtrim::language
