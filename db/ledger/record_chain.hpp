// The chain of finished records as it is written (docs/ledger.md, "The chain of records").
//
//   work of one act --> extend(): one link for each run that ended, each later disposition
//                   --> commit --> committed(): the anchor file follows
//                    \-> rollback --> dropped()
//
// The program's one writer has one; it lives on the writer's thread and dies before its database.
// SQLite's errors pass as SQLite::Exception.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "db/ledger/anchor_file.hpp"
#include "db/ledger/chain_acts.hpp"
#include "db/ledger/record_digests.hpp"

namespace padtrim::ledger {

enum class LinkKind {
    beginning,         // subject: how many runs had ended before
    decisions_before,  // subject: the newest disposition before
    run,               // subject: the run
    disposition,       // subject: the disposition's id
    removal,           // subject: the removal's id
    act,               // subject: its id; which kind of act stands beside
    acts_begin,        // acts are in the chain from here on; subject: how many stood there before
    new_key,           // the key was missing: a new one seals from here on
    broken             // the anchor did not fit when the ledger was opened; subject: its sequence
};
[[nodiscard]] std::string_view name_of(LinkKind kind);

struct Link {
    std::int64_t sequence = 0;
    LinkKind kind = LinkKind::run;
    std::int64_t subject = 0;
    std::optional<Digest> observation;
    Digest content{};
    ActKind act = ActKind::opening;  // of an act
};
// As its row names the kind.
[[nodiscard]] std::string_view kind_word(const Link& link);
// Over the link before (zeros for the first) and everything of this one.
[[nodiscard]] Digest link_digest(const Digest& before, const Link& link);
// What the content of a link without a record is.
[[nodiscard]] Digest content_without_record(LinkKind kind, std::int64_t subject);

class RecordChain {
  public:
    // Reads where the chain stands; begins it in a ledger that has none. Writes within a
    // transaction of its own.
    RecordChain(Database& database, const std::string& path, const SealKey& key, bool new_key);

    // Inside the act's transaction, after its rows.
    void extend();
    void committed();
    void dropped();
    // This act writes rows of chain_acts.hpp: extend() looks for them. What only runs units need
    // not look.
    void look_for_acts() { acts_written_ = true; }
    // The anchor is on the disk when the commit after this one has gone through.
    void sync_after_commit() { sync_ = true; }

  private:
    struct Place {
        std::int64_t sequence = 0;
        Digest link{};
        std::int64_t ending = 0, disposition = 0, removal = 0;  // the newest that have links
        std::array<std::int64_t, act_kinds> acts{};
    };

    void begin(bool new_key);
    void check_anchor(const std::optional<Anchor>& anchor);
    void append(Link link);
    void append_runs();
    void append_dispositions();
    void append_removals();
    void append_acts();
    void begin_acts();
    Digest stored_link(std::int64_t sequence);

    Database& database_;
    const SealKey key_;
    RecordDigests digests_;
    ChainActs acts_;
    Query new_endings_, new_dispositions_, new_removals_, insert_;
    AnchorFile anchor_;
    Place kept_, next_;
    bool sync_ = false, acts_written_ = false;
};

}  // namespace padtrim::ledger
