// One writer a ledger: an exclusive flock on "<path>.lock", which the kernel lets go when the
// process ends, however it ends. The file stays; it names the process that held it last.
//
// A lock beside the database, because closing any descriptor of the database itself would drop
// SQLite's own locks. Failures: locked, read_only or missing folder.
#pragma once

#include <string>

#include "db/journal/journal.hpp"

namespace padtrim::ledger {

class FileLock {
  public:
    [[nodiscard]] static journal::Stored<FileLock> take(const std::string& ledger_path);
    FileLock(FileLock&& other) noexcept;
    FileLock& operator=(FileLock&& other) noexcept;
    FileLock(const FileLock&) = delete;
    FileLock& operator=(const FileLock&) = delete;
    ~FileLock();

  private:
    explicit FileLock(int descriptor) : descriptor_(descriptor) {}
    int descriptor_ = -1;
};

}  // namespace padtrim::ledger
