// The key that seals the chain of records: "<ledger>.key", 64 hexadecimal digits, readable by its
// owner only. It stands outside the database, so that a copy of the database, or a tool that writes
// into it, cannot seal.
#pragma once

#include <optional>
#include <string>

#include "db/journal/journal.hpp"
#include "db/ledger/digest.hpp"

namespace padtrim::ledger {

struct KeptKey {
    SealKey key{};
    bool made = false;  // there was none
};

// Made, and on the disk when this returns, where there is none. A file that is there and holds no
// key is a fault: it may be the only copy of a damaged one.
[[nodiscard]] journal::Stored<KeptKey> keep_seal_key(const std::string& ledger_path);
// Nothing when it is missing, unreadable or damaged.
[[nodiscard]] std::optional<SealKey> read_seal_key(const std::string& ledger_path);

}  // namespace padtrim::ledger
