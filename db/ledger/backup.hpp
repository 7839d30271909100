// Copies of a ledger, and putting one back. Nothing counts as a copy, and nothing is replaced,
// before the copy itself has been verified: SQLite's integrity check, foreign keys, the chain of
// records, and that records, links and rollups count the same runs.
//
// back_up() works beside a running station from one moment of the ledger, and never waits for it or
// holds it up; the write-ahead log grows meanwhile. A copy is two files: the ledger, without free
// pages, and "<copy>.anchor". The key is not copied: keep it apart, for whoever has it can forge.
// restore() needs the station to be stopped (it takes its lock). What stood there is kept beside it
// under a name that the report says. The anchor stays: a copy that is older than it is noted in
// the chain when the station opens it, which is the truth: records since then are lost.
// Calls wait for the disk: not from an io_context. Failures: missing, read_only, locked, full,
// broken.
#pragma once

#include <cstdint>
#include <string>

#include "db/journal/journal.hpp"
#include "db/ledger/verify_records.hpp"

namespace padtrim::ledger {

struct CopyReport {
    std::uint64_t bytes = 0;
    std::int64_t runs = 0, lots = 0, observations = 0;
    ChainReport chain;
};

// The copy must not be there yet; it appears under its name when it is whole and verified.
[[nodiscard]] journal::Stored<CopyReport> back_up(const std::string& ledger_path,
                                                  const std::string& copy_path);

// As a copy or a ledger stands; the key is that of `key_of` (another ledger's path, or its own). A
// finding of the chain beside what the station itself had noted is a fault.
[[nodiscard]] journal::Stored<CopyReport> verify_copy(const std::string& path,
                                                      const std::string& key_of);

struct RestoreReport {
    CopyReport copy;
    std::string kept_as;  // where the ledger that stood there is now; "" when there was none
};
[[nodiscard]] journal::Stored<RestoreReport> restore(const std::string& copy_path,
                                                     const std::string& ledger_path);

}  // namespace padtrim::ledger
