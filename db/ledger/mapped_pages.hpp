// While it lives, a connection looks at pages in place instead of copying them. Not for the
// station: there a broken disk has to be an answer, and in mapped memory it is a signal. Questions
// over all values have a process to lose.
#pragma once

#include "db/ledger/database.hpp"

namespace padtrim::ledger {

class MappedPages {
  public:
    explicit MappedPages(Database& database) : database_(database) {
        database_.exec("PRAGMA mmap_size = 17179869184");
    }
    ~MappedPages() { (void)database_.tryExec("PRAGMA mmap_size = 0"); }
    MappedPages(const MappedPages&) = delete;
    MappedPages& operator=(const MappedPages&) = delete;

  private:
    Database& database_;
};

}  // namespace padtrim::ledger
