// The schema's versions: numbered SQL files of db/schema, embedded at build, forward only.
//
// A ledger carries padtrim's application id and a table schema_version with one row a migration.
// Failures: another application's database (broken), a version above ours (newer_schema); both
// leave the file as it was. SQLite's own errors pass as SQLite::Exception.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include <SQLiteCpp/Database.h>

#include "db/journal/journal.hpp"

namespace padtrim::ledger {

// "PTRM" in ASCII; `file` and `PRAGMA application_id` show it.
inline constexpr std::int32_t application_id = 0x5054524D;

struct Migration {
    int number = 0;
    std::string_view name, sql;
};

// Numbered 1, 2, 3, ...
[[nodiscard]] std::span<const Migration> embedded_migrations();

// 0 for an empty database.
[[nodiscard]] journal::Stored<int> schema_version(SQLite::Database& database,
                                                  const std::string& path);

// Whether this program can read a database of that version: not newer, not older.
[[nodiscard]] journal::Stored<void> check_version(int version,
                                                  std::span<const Migration> migrations,
                                                  const std::string& path);

// Brings the database to the newest version, all steps in one transaction.
[[nodiscard]] journal::Stored<void> migrate(SQLite::Database& database,
                                            std::span<const Migration> migrations,
                                            const std::string& path);

}  // namespace padtrim::ledger
