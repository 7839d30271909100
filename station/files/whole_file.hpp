// Files that hold a whole text or are not there: written beside their place, made durable, and put
// in it.
#pragma once

#include <filesystem>
#include <string>

namespace padtrim::files {

// Takes the place of what was there, with these permissions. A symbolic link is replaced itself.
// False when the text did not become durable: the old one stands then.
[[nodiscard]] bool replace_file(const std::filesystem::path& path, const std::string& text,
                                std::filesystem::perms permissions);

}  // namespace padtrim::files
