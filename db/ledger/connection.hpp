// Opens a ledger's file. Nothing is changed in a file that is not a ledger, or newer than we know.
//
// A connection is used by one thread at a time. Writers hold the FileLock as long as they live;
// readers need no lock and never hold up the writer (write-ahead log). A reader opens neither a
// missing file nor an older schema; a ledger on a medium that cannot be written is read as a frozen
// copy when it has no write-ahead log of its own.
#pragma once

#include <memory>
#include <string>

#include "db/journal/journal.hpp"
#include "db/ledger/database.hpp"

namespace padtrim::ledger {

using Connection = std::unique_ptr<Database>;

// Creates the file when there is none; migrates an older schema. The caller holds the FileLock.
[[nodiscard]] journal::Stored<Connection> open_for_writing(const std::string& path);
[[nodiscard]] journal::Stored<Connection> open_for_reading(const std::string& path);

// Folder there, and a plain file or none: looked at without opening anything.
[[nodiscard]] journal::Stored<void> may_be_ledger(const std::string& path);

}  // namespace padtrim::ledger
