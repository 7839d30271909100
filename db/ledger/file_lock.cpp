#include "db/ledger/file_lock.hpp"

#include <array>
#include <cerrno>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger {

using journal::Stored;
using journal::StoreFault;
using journal::StoreFaultKind;

namespace {

std::string holder(int descriptor) {
    std::array<char, 32> text{};
    const ssize_t size = pread(descriptor, text.data(), text.size(), 0);
    std::string digits;
    for (ssize_t i = 0; i < size && text[i] >= '0' && text[i] <= '9'; ++i) digits += text[i];
    return digits.empty() ? "" : " (process " + digits + ")";
}

void sign(int descriptor) {
    // Only says who holds the lock; the lock does not depend on it.
    const std::string pid = std::to_string(getpid()) + "\n";
    if (ftruncate(descriptor, 0) != 0) return;
    [[maybe_unused]] const ssize_t written = pwrite(descriptor, pid.data(), pid.size(), 0);
}

StoreFault held(const std::string& path, const std::string& who) {
    return {StoreFaultKind::locked, "another station" + who + " writes to the records '" + path +
                                        "': stop it, or give this station records of its own"};
}

// False when another process has withdrawn the file between our open and our lock.
bool still_at(const std::string& path, int descriptor) {
    struct stat ours {
    }, there{};
    return fstat(descriptor, &ours) == 0 && stat(path.c_str(), &there) == 0 &&
           ours.st_ino == there.st_ino && ours.st_dev == there.st_dev;
}

}  // namespace

Stored<FileLock> FileLock::take(const std::string& ledger_path) {
    const std::string path = ledger_path + ".lock";
    const int made = open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
    const int descriptor =
        made >= 0 ? made : open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    if (descriptor < 0) return fault_of_errno(errno, path);
    FileLock lock(descriptor);
    if (made >= 0) lock.made_ = path;
    while (flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
        if (errno == EINTR) continue;
        if (errno == EWOULDBLOCK) return held(ledger_path, holder(descriptor));
        return fault_of_errno(errno, path);
    }
    if (!still_at(path, descriptor)) return take(ledger_path);
    sign(descriptor);
    return lock;
}

void FileLock::withdraw() {
    if (!made_.empty()) unlink(std::exchange(made_, "").c_str());
}

FileLock::FileLock(FileLock&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)), made_(std::move(other.made_)) {}

FileLock& FileLock::operator=(FileLock&& other) noexcept {
    std::swap(descriptor_, other.descriptor_);
    std::swap(made_, other.made_);
    return *this;
}

FileLock::~FileLock() {
    if (descriptor_ >= 0) close(descriptor_);
}

}  // namespace padtrim::ledger
