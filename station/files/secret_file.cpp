#include "station/files/secret_file.hpp"

#include <array>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace padtrim::files {
namespace {

bool read_all(int file, std::string& text) {
    std::array<char, 4096> piece{};
    for (;;) {
        const ssize_t got = ::read(file, piece.data(), piece.size());
        if (got < 0) return false;
        if (got == 0) return true;
        text.append(piece.data(), static_cast<std::size_t>(got));
    }
}

}  // namespace

Secret secret_in(const std::string& path) {
    Secret secret;
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOCTTY);
    if (file < 0) return secret;
    struct stat about {};
    secret.there = ::fstat(file, &about) == 0;
    secret.shown = (about.st_mode & (S_IWGRP | S_IROTH | S_IWOTH)) != 0;
    if (secret.there && !secret.shown) secret.there = read_all(file, secret.text);
    ::close(file);
    return secret;
}

std::string mend_of_shown(const std::string& path) {
    return "Others on this machine may read or replace the key " + path +
           ". If they did, make another; mend it: chmod g-w,o= " + path + ".";
}

}  // namespace padtrim::files
