#include "db/ledger/connection.hpp"

#include <cerrno>
#include <filesystem>
#include <string_view>
#include <utility>

#include <SQLiteCpp/Statement.h>
#include <sqlite3.h>
#include <unistd.h>

#include "db/ledger/migrations.hpp"
#include "db/ledger/rollup_rows.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger {

using journal::Stored;
using journal::StoreFault;
using journal::StoreFaultKind;

namespace {

// Another program may hold the file for a moment (a checkpoint, a copy); no serial deadline waits
// on it, since writing has its own thread.
constexpr int busy_ms = 5000;

void demand_durability(Database& database) {
    database.exec("PRAGMA foreign_keys = ON");
    database.exec("PRAGMA synchronous = FULL");
}

// What older programs did not count.
void fill(Database& database) {
    Transaction transaction(database, Transaction::Kind::writing);
    if (rows::fill_rollups(database)) transaction.commit();
}

Stored<Connection> checked_writer(const std::string& path) {
    // One thread at a time, as for readers: SQLite need not lock for every column.
    auto database = std::make_unique<Database>(
        path, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE | SQLITE_OPEN_NOMUTEX, busy_ms);
    if (sqlite3_db_readonly(database->getHandle(), "main") == 1) return read_only(path);
    demand_durability(*database);
    const Stored<void> migrated = migrate(*database, embedded_migrations(), path);
    if (!migrated) return migrated.error();
    fill(*database);
    // Last, for it writes into the file: only a ledger of our own gets that far.
    database->exec("PRAGMA journal_mode = WAL");
    // What a long reader let the log grow to is given back to the disk when it has gone.
    database->exec("PRAGMA journal_size_limit = 67108864");
    return database;
}

Stored<Connection> checked_reader(const std::string& path, const std::string& address, int flags) {
    auto database = std::make_unique<Database>(
        address, SQLite::OPEN_READONLY | SQLITE_OPEN_NOMUTEX | flags, busy_ms);
    const Stored<int> version = schema_version(*database, path);
    if (!version) return version.error();
    if (*version == 0) return not_a_ledger(path);
    const Stored<void> known = check_version(*version, embedded_migrations(), path);
    if (!known) return known.error();
    return database;
}

// A path as an SQLite URI: what would end it or open an escape is written in hexadecimal.
std::string frozen_address(const std::string& path) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string address = "file:";
    for (const char letter : path) {
        const auto byte = static_cast<unsigned char>(letter);
        if (letter == '?' || letter == '#' || letter == '%') {
            address += '%';
            address += digits[byte >> 4U];
            address += digits[byte & 15U];
        } else {
            address += letter;
        }
    }
    return address + "?immutable=1";
}

bool is_frozen(const std::string& path) {
    std::error_code ignored;
    const std::string log = path + "-wal";
    const bool empty_log =
        !std::filesystem::exists(log, ignored) || std::filesystem::file_size(log, ignored) == 0;
    const std::filesystem::path folder = std::filesystem::absolute(path, ignored).parent_path();
    return empty_log && access(folder.c_str(), W_OK) != 0;
}

}  // namespace

// The content is for SQLite to look at: closing any descriptor of the file, as reading it here
// would, drops all locks that this process has on it (POSIX), and with them the protection of a
// writer's log against other programs.
Stored<void> may_be_ledger(const std::string& path) {
    std::error_code error;
    const std::filesystem::path folder = std::filesystem::absolute(path, error).parent_path();
    if (path.empty() || !std::filesystem::is_directory(folder, error))
        return fault_of_errno(ENOENT, path);
    if (!std::filesystem::exists(path, error)) return {};
    if (!std::filesystem::is_regular_file(path, error)) return not_a_ledger(path);
    // SQLite would take such a file for an empty one.
    constexpr std::uintmax_t smallest_page = 512;
    const std::uintmax_t size = std::filesystem::file_size(path, error);
    if (!error && size > 0 && size < smallest_page) return not_a_ledger(path);
    return {};
}

Stored<Connection> open_for_writing(const std::string& path) {
    const Stored<void> plausible = may_be_ledger(path);
    if (!plausible) return plausible.error();
    try {
        return checked_writer(path);
    } catch (const SQLite::Exception& error) {
        return fault_of(error, path);
    }
}

Stored<Connection> open_for_reading(const std::string& path) {
    const Stored<void> plausible = may_be_ledger(path);
    if (!plausible) return plausible.error();
    if (!std::filesystem::exists(path))
        return StoreFault{StoreFaultKind::missing,
                          "there are no records '" + path +
                              "': check the path, or run a lot first, which creates it"};
    try {
        if (is_frozen(path)) return checked_reader(path, frozen_address(path), SQLITE_OPEN_URI);
        return checked_reader(path, path, 0);
    } catch (const SQLite::Exception& error) {
        return fault_of(error, path);
    }
}

}  // namespace padtrim::ledger
