// Whether the finished records of a ledger are those that the station wrote: walks the chain of
// records (docs/ledger.md) against the rows, its seals and the anchor, and names what does not fit.
//
// Reads beside a running station; the walk is made of many short reads, so that it holds up no
// clean-up of the write-ahead log. Failures are those of a Reader. Needs the key file for the
// seals; without it the report says so, and a chain that was recomputed from end to end is not
// seen. What it cannot see: someone who has the key, the database and the anchor.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "db/journal/journal.hpp"
#include "db/record/run.hpp"

namespace padtrim::ledger {

enum class ChainFault {
    changed,        // a record's rows, or its link, are not those of then
    inserted,       // a record that the station did not write
    removed,        // a record, or its link, is gone
    tail_cut,       // the newest links are gone
    recomputed,     // links from here on fit each other and were not made by the station
    key_replaced,   // the key was missing at a start; seals before are not checked
    anchor_missing  // missing, or of another key, at a start or now
};
[[nodiscard]] std::string_view name_of(ChainFault fault);

struct ChainFinding {
    ChainFault fault = ChainFault::changed;
    std::int64_t sequence = 0;         // the link's; 0 where none is
    std::optional<record::RunId> run;  // where one can be named
    std::string what;                  // one sentence
    bool noted = false;  // by the station when it started, and told again; else found now
};

struct ChainReport {
    std::int64_t links = 0;
    std::int64_t runs = 0;       // under links
    std::int64_t before = 0;     // runs that had ended when the chain began; not in it
    std::int64_t ahead = 0;      // links that the anchor did not hear of: a power cut, when small
    bool sealed = false;         // the key was there
    std::size_t not_listed = 0;  // findings beyond the first 1000
    std::vector<ChainFinding> findings;

    // Nothing was done to the records; key_replaced and anchor_missing are to be explained by a
    // person.
    [[nodiscard]] bool sound() const { return findings.empty(); }
};

[[nodiscard]] journal::Stored<ChainReport> verify_records(const std::string& ledger_path);
// Of a copy, with the key of the ledger that it was taken from.
[[nodiscard]] journal::Stored<ChainReport> verify_records(const std::string& ledger_path,
                                                          const std::string& key_of);

}  // namespace padtrim::ledger
