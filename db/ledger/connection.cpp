#include "db/ledger/connection.hpp"

#include <array>
#include <cerrno>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <utility>

#include <SQLiteCpp/Statement.h>
#include <sqlite3.h>
#include <unistd.h>

#include "db/ledger/migrations.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger {

using journal::Stored;
using journal::StoreFault;
using journal::StoreFaultKind;

namespace {

// Another program may hold the file for a moment (a checkpoint, a copy); no serial deadline waits
// on it, since writing has its own thread.
constexpr int busy_ms = 5000;

constexpr std::string_view sqlite_header("SQLite format 3\0", 16);

void demand_durability(SQLite::Database& database) {
    database.exec("PRAGMA foreign_keys = ON");
    database.exec("PRAGMA synchronous = FULL");
}

Stored<Connection> checked_writer(const std::string& path) {
    auto database = std::make_unique<SQLite::Database>(
        path, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, busy_ms);
    if (sqlite3_db_readonly(database->getHandle(), "main") == 1) return read_only(path);
    demand_durability(*database);
    const Stored<void> migrated = migrate(*database, embedded_migrations(), path);
    if (!migrated) return migrated.error();
    // Last, for it writes into the file: only a ledger of our own gets that far.
    database->exec("PRAGMA journal_mode = WAL");
    return database;
}

Stored<Connection> checked_reader(const std::string& path, const std::string& address, int flags) {
    auto database =
        std::make_unique<SQLite::Database>(address, SQLite::OPEN_READONLY | flags, busy_ms);
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

Stored<void> looks_like_ledger(const std::string& path) {
    std::error_code error;
    const std::filesystem::path folder = std::filesystem::absolute(path, error).parent_path();
    if (path.empty() || !std::filesystem::is_directory(folder, error))
        return fault_of_errno(ENOENT, path);
    if (!std::filesystem::exists(path, error)) return {};
    if (!std::filesystem::is_regular_file(path, error)) return not_a_ledger(path);
    std::array<char, sqlite_header.size()> start{};
    std::ifstream file(path, std::ios::binary);
    file.read(start.data(), start.size());
    const std::string_view read(start.data(), static_cast<std::size_t>(file.gcount()));
    // Unreadable content is for SQLite to name.
    if (file.is_open() && !read.empty() && read != sqlite_header) return not_a_ledger(path);
    return {};
}

Stored<Connection> open_for_writing(const std::string& path) {
    const Stored<void> plausible = looks_like_ledger(path);
    if (!plausible) return plausible.error();
    try {
        return checked_writer(path);
    } catch (const SQLite::Exception& error) {
        return fault_of(error, path);
    }
}

Stored<Connection> open_for_reading(const std::string& path) {
    const Stored<void> plausible = looks_like_ledger(path);
    if (!plausible) return plausible.error();
    if (!std::filesystem::exists(path))
        return StoreFault{StoreFaultKind::missing,
                          "there is no ledger '" + path +
                              "': check the path, or run a lot first, which creates it"};
    try {
        if (is_frozen(path)) return checked_reader(path, frozen_address(path), SQLITE_OPEN_URI);
        return checked_reader(path, path, 0);
    } catch (const SQLite::Exception& error) {
        return fault_of(error, path);
    }
}

}  // namespace padtrim::ledger
