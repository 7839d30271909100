#include "db/ledger/store_faults.hpp"

#include <cerrno>
#include <system_error>
#include <utility>

#include <sqlite3.h>

namespace padtrim::ledger {

using journal::StoreFault;
using journal::StoreFaultKind;

namespace {

StoreFault full(const std::string& path) {
    return {StoreFaultKind::full, "no space is left for the records '" + path +
                                      "'; nothing of the last act was stored: free some space "
                                      "on its disk, then start again"};
}

StoreFault locked(const std::string& path) {
    return {StoreFaultKind::locked, "another program keeps the records '" + path +
                                        "' locked: close it (a database tool with an open "
                                        "transaction, say), then start again"};
}

StoreFault damaged(const std::string& path, const std::string& detail) {
    return {StoreFaultKind::broken,
            "the records '" + path + "' is damaged (" + detail +
                "): keep the file and its -wal beside it, and restore the last good copy"};
}

StoreFault cannot_open(const std::string& path, const std::string& detail) {
    return {StoreFaultKind::broken, "cannot open the records '" + path + "' (" + detail +
                                        "): check that it is a file and that its folder and the "
                                        "-wal and -shm files beside it may be written"};
}

}  // namespace

StoreFault read_only(const std::string& path) {
    return {StoreFaultKind::read_only,
            "'" + path +
                "' cannot be written: give the station's user the right to write to the file "
                "and its folder, or give another path"};
}

StoreFault not_a_ledger(const std::string& path) {
    return {StoreFaultKind::broken,
            "'" + path +
                "' is not a file of padtrim's records; nothing was changed: give another path"};
}

StoreFault out_of_order(std::string what) {
    return {StoreFaultKind::broken, std::move(what)};
}

StoreFault fault_of_errno(int error, const std::string& path) {
    switch (error) {
        case ENOENT:
        case ENOTDIR:
            return {StoreFaultKind::missing, "'" + path +
                                                 "' cannot be opened, for its folder does not "
                                                 "exist: create the folder, or give another path"};
        case EACCES:
        case EPERM:
        case EROFS:
            return read_only(path);
        case ENOSPC:
        case EDQUOT:
            return full(path);
        default:
            return {StoreFaultKind::broken,
                    "cannot open '" + path + "': " + std::generic_category().message(error)};
    }
}

StoreFault fault_of(const SQLite::Exception& error, const std::string& path) {
    switch (error.getErrorCode()) {
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return locked(path);
        case SQLITE_READONLY:
        case SQLITE_PERM:
            return read_only(path);
        case SQLITE_FULL:
            return full(path);
        case SQLITE_NOTADB:
            return not_a_ledger(path);
        case SQLITE_CORRUPT:
            return damaged(path, error.what());
        case SQLITE_CANTOPEN:
            return cannot_open(path, error.what());
        default:
            return {StoreFaultKind::broken, "the records '" + path + "' answered: " + error.what()};
    }
}

}  // namespace padtrim::ledger
