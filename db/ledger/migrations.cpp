#include "db/ledger/migrations.hpp"

#include <SQLiteCpp/Statement.h>
#include <SQLiteCpp/Transaction.h>

namespace padtrim::ledger {

using journal::Stored;
using journal::StoreFault;
using journal::StoreFaultKind;

namespace {

int read_number(SQLite::Database& database, const char* query) {
    return database.execAndGet(query).getInt();
}

StoreFault foreign_database(const std::string& path) {
    return {
        StoreFaultKind::broken,
        "'" + path +
            "' is a database of another application, not padtrim's records; nothing was changed: "
            "give another path"};
}

StoreFault newer(const std::string& path, int version, int known) {
    return {StoreFaultKind::newer_schema,
            "'" + path + "' has schema version " + std::to_string(version) +
                ", this padtrim knows versions up to " + std::to_string(known) +
                "; nothing was changed: use the newer padtrim"};
}

void create_version_table(SQLite::Database& database) {
    database.exec("PRAGMA application_id = " + std::to_string(application_id));
    database.exec("CREATE TABLE schema_version (version INTEGER PRIMARY KEY, name TEXT NOT NULL)");
}

void apply(SQLite::Database& database, const Migration& migration) {
    database.exec(std::string(migration.sql));
    SQLite::Statement note(database, "INSERT INTO schema_version (version, name) VALUES (?, ?)");
    note.bind(1, migration.number);
    note.bind(2, std::string(migration.name));
    note.exec();
}

}  // namespace

Stored<int> schema_version(SQLite::Database& database, const std::string& path) {
    const int id = read_number(database, "PRAGMA application_id");
    if (id == 0 && read_number(database, "SELECT count(*) FROM sqlite_schema") == 0) return 0;
    if (id != application_id || !database.tableExists("schema_version"))
        return foreign_database(path);
    return read_number(database, "SELECT coalesce(max(version), 0) FROM schema_version");
}

Stored<void> check_version(int version, std::span<const Migration> migrations,
                           const std::string& path) {
    const int known = migrations.empty() ? 0 : migrations.back().number;
    if (version > known) return newer(path, version, known);
    if (version == known) return {};
    return StoreFault{StoreFaultKind::broken,
                      "'" + path + "' has schema version " + std::to_string(version) +
                          ", older than this padtrim's " + std::to_string(known) +
                          ": start the station on it once, it brings the records up to date"};
}

Stored<void> migrate(SQLite::Database& database, std::span<const Migration> migrations,
                     const std::string& path) {
    SQLite::Transaction transaction(database, SQLite::TransactionBehavior::IMMEDIATE);
    const Stored<int> version = schema_version(database, path);
    if (!version) return version.error();
    const int known = migrations.empty() ? 0 : migrations.back().number;
    if (*version > known) return newer(path, *version, known);
    if (*version == known) return {};
    if (*version == 0) create_version_table(database);
    for (const Migration& migration : migrations)
        if (migration.number > *version) apply(database, migration);
    transaction.commit();
    return {};
}

}  // namespace padtrim::ledger
