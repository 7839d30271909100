// One writer a ledger: an exclusive flock on "<path>.lock", which the kernel lets go when the
// process ends, however it ends. The file stays, and names the process that held it last, unless
// withdraw() is called: a start that failed leaves nothing that it made.
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

    // Removes the file, if this lock made it.
    void withdraw();

  private:
    explicit FileLock(int descriptor) : descriptor_(descriptor) {}
    int descriptor_ = -1;
    std::string made_;  // the file's path, when it was not there before
};

}  // namespace padtrim::ledger
