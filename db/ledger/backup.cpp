#include "db/ledger/backup.hpp"

#include <cerrno>
#include <filesystem>
#include <utility>

#include <fcntl.h>
#include <unistd.h>

#include "db/ledger/connection.hpp"
#include "db/ledger/file_lock.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger {

using journal::Stored;
using journal::StoreFault;
using journal::StoreFaultKind;

namespace {

namespace fs = std::filesystem;

StoreFault fault_of_files(const fs::filesystem_error& error) {
    return fault_of_errno(error.code().value(), error.path1().string());
}

// File and name are on the disk when this returns.
void sync_file(const std::string& path) {
    const fs::path folder = fs::absolute(path).parent_path();
    for (const std::string& each : {path, folder.string()}) {
        const int descriptor = open(each.c_str(), O_RDONLY | O_CLOEXEC);
        if (descriptor < 0 || fsync(descriptor) != 0) {
            const int error = errno;
            if (descriptor >= 0) close(descriptor);
            throw fs::filesystem_error("fsync", each,
                                       std::error_code(error, std::generic_category()));
        }
        close(descriptor);
    }
}

void remove_files(const std::string& path) {
    std::error_code ignored;
    for (const char* part : {"", "-wal", "-shm", "-journal", ".anchor"})
        fs::remove(path + part, ignored);
}

StoreFault unsound(const std::string& path, const std::string& what) {
    return {StoreFaultKind::broken, "the copy '" + path + "' is not sound: " + what +
                                        "; nothing was replaced: take another copy"};
}

std::int64_t counted(Database& database, const char* query) {
    return database.execAndGet(query).getInt64();
}

Stored<void> check_pages(Database& database, const std::string& path) {
    const std::string pages = database.execAndGet("PRAGMA integrity_check").getString();
    if (pages != "ok") return unsound(path, pages);
    if (counted(database, "SELECT count(*) FROM pragma_foreign_key_check") > 0)
        return unsound(path, "rows name others that are not there");
    return {};
}

Stored<void> check_counts(Database& database, const std::string& path, const CopyReport& report) {
    if (report.chain.runs + report.chain.before != report.runs)
        return unsound(path, std::to_string(report.runs) + " runs have ended, and the chain has " +
                                 std::to_string(report.chain.runs + report.chain.before));
    const std::int64_t rolled_up = counted(database,
                                           "SELECT coalesce(sum(runs), 0) FROM unit_rollup"
                                           " WHERE family = 'lot'");
    if (rolled_up == report.runs) return {};
    return unsound(path, std::to_string(report.runs) + " runs have ended, and the rollups count " +
                             std::to_string(rolled_up));
}

Stored<CopyReport> verify_open(Database& database, const std::string& path,
                               const std::string& key_of) {
    const Stored<void> pages = check_pages(database, path);
    if (!pages) return pages.error();
    CopyReport report;
    report.bytes = fs::file_size(path);
    report.runs = counted(database, "SELECT count(*) FROM run_end");
    report.lots = counted(database, "SELECT count(*) FROM lot");
    report.observations = counted(database, "SELECT count(*) FROM observation");
    Stored<ChainReport> chain = verify_records(path, key_of);
    if (!chain) return chain.error();
    for (const ChainFinding& finding : chain->findings)
        if (!finding.noted && finding.fault != ChainFault::anchor_missing)
            return unsound(path, finding.what);
    report.chain = std::move(*chain);
    const Stored<void> counts = check_counts(database, path, report);
    if (!counts) return counts.error();
    return report;
}

// With the anchor of before, which the copy's chain has reached.
Stored<void> copy_now(const std::string& ledger_path, const std::string& part) {
    remove_files(part);
    if (fs::exists(ledger_path + ".anchor"))
        fs::copy_file(ledger_path + ".anchor", part + ".anchor");
    const Stored<Connection> source = open_for_reading(ledger_path);
    if (!source) return source.error();
    Query(**source, "VACUUM INTO ?").with(part).run();
    sync_file(part);
    return {};
}

// A free name for what is replaced.
std::string name_beside(const std::string& path) {
    for (int i = 1;; ++i) {
        const std::string name = path + ".replaced-" + std::to_string(i);
        if (!fs::exists(name)) return name;
    }
}

// A log that stayed behind would be taken for the new ledger's: it goes first, and what it holds
// has been written into the ledger if that can still be done.
void move_ledger(const std::string& from, const std::string& to) {
    try {
        SQLite::Database(from, SQLite::OPEN_READWRITE).exec("PRAGMA wal_checkpoint(TRUNCATE)");
    } catch (const SQLite::Exception&) {
        // Damaged, which may be why it is replaced: it is kept as it is.
    }
    for (const char* part : {"-wal", "-shm", ""})
        if (fs::exists(from + part)) fs::rename(from + part, to + part);
}

template <class T, class Work>
Stored<T> guarded(const std::string& path, Work work) {
    try {
        return work();
    } catch (const SQLite::Exception& error) {
        return fault_of(error, path);
    } catch (const fs::filesystem_error& error) {
        return fault_of_files(error);
    }
}

}  // namespace

Stored<CopyReport> verify_copy(const std::string& path, const std::string& key_of) {
    return guarded<CopyReport>(path, [&]() -> Stored<CopyReport> {
        const Stored<Connection> database = open_for_reading(path);
        if (!database) return database.error();
        return verify_open(**database, path, key_of);
    });
}

Stored<CopyReport> back_up(const std::string& ledger_path, const std::string& copy_path) {
    return guarded<CopyReport>(copy_path, [&]() -> Stored<CopyReport> {
        if (fs::exists(copy_path))
            return out_of_order("'" + copy_path +
                                "' is there already: give the copy a name of its own");
        const std::string part = copy_path + ".part";
        const Stored<void> copied = copy_now(ledger_path, part);
        if (!copied) return copied.error();
        Stored<CopyReport> report = verify_copy(part, ledger_path);
        if (!report) {
            remove_files(part);
            return report.error();
        }
        // What looking at it may have left.
        for (const char* rest : {"-wal", "-shm"}) fs::remove(part + rest);
        if (fs::exists(part + ".anchor")) fs::rename(part + ".anchor", copy_path + ".anchor");
        fs::rename(part, copy_path);
        sync_file(copy_path);
        return report;
    });
}

Stored<RestoreReport> restore(const std::string& copy_path, const std::string& ledger_path) {
    return guarded<RestoreReport>(ledger_path, [&]() -> Stored<RestoreReport> {
        const Stored<FileLock> lock = FileLock::take(ledger_path);
        if (!lock) return lock.error();
        // What is put in place is what was verified, whatever becomes of the copy meanwhile.
        const std::string part = ledger_path + ".part";
        remove_files(part);
        if (!fs::exists(copy_path)) return fault_of_errno(ENOENT, copy_path);
        fs::copy_file(copy_path, part);
        if (fs::exists(copy_path + ".anchor"))
            fs::copy_file(copy_path + ".anchor", part + ".anchor");
        sync_file(part);
        Stored<CopyReport> copy = verify_copy(part, ledger_path);
        if (!copy) {
            remove_files(part);
            return copy.error();
        }
        RestoreReport report{std::move(*copy), ""};
        if (fs::exists(ledger_path)) {
            report.kept_as = name_beside(ledger_path);
            move_ledger(ledger_path, report.kept_as);
        }
        for (const char* rest : {"-wal", "-shm", ".anchor"}) fs::remove(part + rest);
        fs::rename(part, ledger_path);
        sync_file(ledger_path);
        return report;
    });
}

}  // namespace padtrim::ledger
