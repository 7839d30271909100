// Text from outside (serial numbers, labels, device replies) made safe for a terminal and a log:
// control characters, invisible direction marks and broken UTF-8 become visible escapes, so that
// no unit can move a cursor or forge a line. Pure.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace padtrim::answers {

// Never longer than `most` code points; cut text ends in "...".
[[nodiscard]] std::string printable(std::string_view text, std::size_t most = 200);

// The same for text of several lines: line ends stay.
[[nodiscard]] std::string printable_lines(std::string_view text);

// Nothing that a person could read.
[[nodiscard]] inline bool blank(std::string_view text) {
    return text.find_first_not_of(" \t\r\n") == std::string_view::npos;
}

// Code points, which is how many cells a printable text fills on a terminal (wide scripts apart).
[[nodiscard]] std::size_t columns(std::string_view text);

// Cut or filled with blanks to exactly `width` columns.
[[nodiscard]] std::string fitted(std::string_view text, std::size_t width);

}  // namespace padtrim::answers
