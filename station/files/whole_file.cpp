#include "station/files/whole_file.hpp"

#include <sys/stat.h>
#include <unistd.h>

namespace padtrim::files {

namespace {

bool write_all(int file, const std::string& text) {
    for (std::size_t at = 0; at < text.size();) {
        const ssize_t put = ::write(file, text.data() + at, text.size() - at);
        if (put <= 0) return false;
        at += static_cast<std::size_t>(put);
    }
    return true;
}

}  // namespace

bool replace_file(const std::filesystem::path& path, const std::string& text,
                  std::filesystem::perms permissions) {
    std::string beside = path.string() + ".XXXXXX";
    const int file = ::mkstemp(beside.data());
    if (file < 0) return false;
    const bool kept = write_all(file, text) &&
                      ::fchmod(file, static_cast<::mode_t>(permissions)) == 0 && ::fsync(file) == 0;
    ::close(file);
    if (kept && ::rename(beside.c_str(), path.c_str()) == 0) return true;
    ::unlink(beside.c_str());
    return false;
}

}  // namespace padtrim::files
