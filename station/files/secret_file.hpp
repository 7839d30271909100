// Files that hold a secret, a key say: read whole, and refused when others of this machine could
// have put another in its place or have read it. Asked of the opened file, so that nothing changes
// between the question and the reading.
#pragma once

#include <string>

namespace padtrim::files {

struct Secret {
    std::string text;
    bool there = false;  // whether the file could be opened and read; else errno tells
    bool shown = false;  // group may write it, or everybody read or write it: then there is no text
};
[[nodiscard]] Secret secret_in(const std::string& path);

// "Others ... : chmod g-w,o= PATH": what is to be done about one that is shown.
[[nodiscard]] std::string mend_of_shown(const std::string& path);

}  // namespace padtrim::files
