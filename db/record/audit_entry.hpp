// One act of a person, or of somebody unknown, that changed something over HTTP or tried to. Plain
// values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "db/record/run.hpp"

namespace padtrim::record {

struct AuditEntry {
    std::int64_t id = 0;  // given by the ledger
    std::string station;
    WallTime at;
    std::string who;      // of the login; "" when nobody was logged in
    std::string role;     // "operator", or "machine" for a command of the station's own computer
    std::string address;  // where the call came from
    std::string act;      // "POST /api/lot/start", "log in"
    std::string asked;    // what was sent with it, cut short; never a password
    unsigned status = 0;  // of HTTP: how it ended
    std::string before, after;  // JSON: what it is about, before the call and when it was answered
    friend bool operator==(const AuditEntry&, const AuditEntry&) = default;
};

// Newest first; what is left out does not matter.
struct AuditFilter {
    std::optional<WallTime> since, until;  // until: not itself
    std::optional<std::string> who;
    std::optional<std::int64_t> before;  // ids below this one: the next page
    std::uint32_t most = 1000;
};

}  // namespace padtrim::record
