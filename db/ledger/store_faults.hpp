// Errors of the file system and of SQLite as StoreFaults: what, which file, how to mend it.
#pragma once

#include <string>

#include <SQLiteCpp/Exception.h>

#include "db/journal/journal.hpp"

namespace padtrim::ledger {

[[nodiscard]] journal::StoreFault fault_of_errno(int error, const std::string& path);
[[nodiscard]] journal::StoreFault fault_of(const SQLite::Exception& error, const std::string& path);
// A call out of order, or a row that is not there.
[[nodiscard]] journal::StoreFault out_of_order(std::string what);
[[nodiscard]] journal::StoreFault not_a_ledger(const std::string& path);
[[nodiscard]] journal::StoreFault read_only(const std::string& path);

}  // namespace padtrim::ledger
