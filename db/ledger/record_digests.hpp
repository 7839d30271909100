// The digests of stored records, over one canonical encoding of their rows: docs/ledger.md, "The
// chain of records", is its document.
//
// Keeps its prepared statements, none of them under way between calls. SQLite's errors pass as
// SQLite::Exception.
#pragma once

#include <optional>
#include <vector>

#include "db/ledger/digest.hpp"
#include "db/ledger/statement.hpp"
#include "db/record/run.hpp"

namespace padtrim::ledger {

// All rows of a query whose parameters are set: byte 1 and the values of each, and byte 0 at the
// end. How many they were; the query is at rest afterwards.
std::size_t write_rows(ByteWriter& writer, Query& rows);

class RecordDigests {
  public:
    explicit RecordDigests(Database& database);

    // Of the packed observations; nothing when there are none.
    [[nodiscard]] std::optional<Digest> of_observation(record::RunId run);
    // Of an ended run with its first disposition; nothing when there is no such run, or it has not
    // ended.
    [[nodiscard]] std::optional<Digest> of_run(record::RunId run,
                                               const std::optional<Digest>& observation);
    // Of a later disposition.
    [[nodiscard]] std::optional<Digest> of_disposition(std::int64_t id);
    // Of a removal of observations with the runs that it names.
    [[nodiscard]] std::optional<Digest> of_removal(std::int64_t id);

  private:
    struct Part {
        std::string_view name;
        Query rows;
    };
    // How many rows were written.
    static std::size_t write(ByteWriter& writer, Part& part, std::int64_t id);

    std::vector<Part> run_parts_;
    Part disposition_, removal_, removed_;
    Query observation_;
};

}  // namespace padtrim::ledger
