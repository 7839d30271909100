#include "db/ledger/verify_records.hpp"

#include <algorithm>

#include "db/ledger/anchor_file.hpp"
#include "db/ledger/connection.hpp"
#include "db/ledger/record_chain.hpp"
#include "db/ledger/seal_key.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger {

using journal::Stored;

std::string_view name_of(ChainFault fault) {
    switch (fault) {
        case ChainFault::changed:
            return "changed";
        case ChainFault::inserted:
            return "inserted";
        case ChainFault::removed:
            return "removed";
        case ChainFault::tail_cut:
            return "tail cut";
        case ChainFault::recomputed:
            return "recomputed";
        case ChainFault::key_replaced:
            return "key replaced";
        case ChainFault::anchor_missing:
            return "anchor missing";
    }
    return "";
}

namespace {

constexpr int links_a_read = 500;
constexpr std::size_t most_findings = 1000;

std::string run_name(record::RunId run) {
    return "run " + std::to_string(run);
}

std::string link_name(std::int64_t sequence) {
    return "link " + std::to_string(sequence);
}

std::string links_name(std::int64_t first, std::int64_t last) {
    return first == last ? link_name(first)
                         : "links " + std::to_string(first) + " to " + std::to_string(last);
}

std::optional<Digest> digest_at(Query& row, int column) {
    const auto bytes = row.bytes_at(column);
    Digest digest{};
    if (bytes.size() != digest.size()) return std::nullopt;
    std::copy(bytes.begin(), bytes.end(), digest.begin());
    return digest;
}

struct StoredLink {
    Link link;
    bool known = false;  // its kind
    Digest digest{}, seal{};
};

// What a row holds; a kind or size that none can have comes out as one that fits nothing.
StoredLink read_link(Query& row) {
    StoredLink stored;
    stored.link.sequence = row.integer_at(0);
    stored.link.subject = row.integer_at(2);
    const std::string kind = row.text_at(1);
    for (int i = 0; i <= static_cast<int>(LinkKind::broken); ++i) {
        if (name_of(static_cast<LinkKind>(i)) != kind) continue;
        stored.link.kind = static_cast<LinkKind>(i);
        stored.known = true;
    }
    if (const auto act = act_kind_of(kind)) {
        stored.link.kind = LinkKind::act;
        stored.link.act = *act;
        stored.known = true;
    }
    if (!row.null_at(3)) stored.link.observation = digest_at(row, 3).value_or(Digest{});
    stored.link.content = digest_at(row, 4).value_or(Digest{});
    stored.digest = digest_at(row, 5).value_or(Digest{});
    stored.seal = digest_at(row, 6).value_or(Digest{});
    return stored;
}

class Walk {
  public:
    Walk(Database& database, std::optional<SealKey> key, std::optional<Anchor> anchor)
        : database_(database),
          digests_(database),
          acts_(database),
          key_(key),
          anchor_(anchor),
          links_(database,
                 "SELECT sequence, kind, subject, observation, content, link, seal"
                 " FROM record_link WHERE sequence > ? ORDER BY sequence LIMIT ?") {
        report_.sealed = key.has_value();
        // Links from before the newest key carry seals that this one cannot make.
        Query newest(database,
                     "SELECT coalesce(max(sequence), 0) FROM record_link"
                     " WHERE kind = 'new key'");
        if (newest.next()) sealed_from_ = newest.integer_at(0);
    }

    ChainReport go() {
        while (read_some()) {
        }
        const Transaction one_moment(database_, Transaction::Kind::reading);
        look_for_the_unlinked();
        look_at_the_end();
        return std::move(report_);
    }

  private:
    void find(ChainFault fault, std::int64_t sequence, std::optional<record::RunId> run,
              std::string what, bool noted = false) {
        if (report_.findings.size() >= most_findings) {
            ++report_.not_listed;
        } else {
            report_.findings.push_back({fault, sequence, run, std::move(what), noted});
        }
    }
    bool read_some() {
        const Transaction one_moment(database_, Transaction::Kind::reading);
        std::vector<StoredLink> links;
        links_.with(last_, links_a_read);
        while (links_.next()) links.push_back(read_link(links_));
        links_.rest();
        for (const StoredLink& link : links) check(link);
        return !links.empty();
    }
    void check(const StoredLink& stored);
    bool check_place(const StoredLink& stored);
    void check_seal(const StoredLink& stored);
    void check_run(const StoredLink& stored);
    void check_observation(const StoredLink& stored, const std::optional<Digest>& observation);
    void check_disposition(const StoredLink& stored);
    void check_removal(const StoredLink& stored);
    void check_act(const StoredLink& stored);
    void note(const StoredLink& stored);
    bool removed_by_a_person(record::RunId run);
    void look_for_the_unlinked();
    void look_at_the_end();
    [[nodiscard]] bool past_anchor(std::int64_t sequence) const {
        return anchor_ && sequence > anchor_->sequence;
    }
    static std::optional<record::RunId> run_of(const StoredLink& stored) {
        if (stored.link.kind != LinkKind::run) return std::nullopt;
        return stored.link.subject;
    }

    Database& database_;
    RecordDigests digests_;
    ChainActs acts_;
    std::optional<SealKey> key_;
    std::optional<Anchor> anchor_;
    Query links_;
    ChainReport report_;
    std::int64_t sealed_from_ = 0;
    std::int64_t last_ = 0;
    record::RunId last_run_ = 0;
    Digest before_{};
    bool recomputed_ = false;
    std::int64_t decisions_before_ = 0;
    bool acts_begun_ = false;
};

void Walk::check(const StoredLink& stored) {
    ++report_.links;
    if (check_place(stored)) check_seal(stored);
    switch (stored.link.kind) {
        case LinkKind::run:
            ++report_.runs;
            check_run(stored);
            last_run_ = stored.link.subject;
            break;
        case LinkKind::disposition:
            check_disposition(stored);
            break;
        case LinkKind::removal:
            check_removal(stored);
            break;
        case LinkKind::act:
            check_act(stored);
            break;
        default:
            note(stored);
    }
    last_ = stored.link.sequence;
    before_ = stored.digest;
}

// Whether the link follows from the one before; what a gap took away is not held against the next.
bool Walk::check_place(const StoredLink& stored) {
    const std::int64_t sequence = stored.link.sequence;
    if (sequence != last_ + 1) {
        const auto next = run_of(stored);
        find(ChainFault::removed, last_ + 1, std::nullopt,
             links_name(last_ + 1, sequence - 1) + " of the chain of records" +
                 (last_run_ > 0 ? ", after " + run_name(last_run_) : "") +
                 (next ? ", before " + run_name(*next) : "") + ", with what stood there, is gone");
        return true;
    }
    if (stored.known && link_digest(before_, stored.link) == stored.digest) return true;
    const auto run = run_of(stored);
    find(ChainFault::changed, sequence, run,
         link_name(sequence) + (run ? " of " + run_name(*run) : "") +
             " does not follow from the link before it: it was changed");
    return false;
}

void Walk::check_seal(const StoredLink& stored) {
    const std::int64_t sequence = stored.link.sequence;
    if (!key_ || sequence < sealed_from_ || recomputed_) return;
    if (stored.seal == seal_of(*key_, stored.digest)) return;
    const auto run = run_of(stored);
    const std::string whose = link_name(sequence) + (run ? " of " + run_name(*run) : "");
    if (past_anchor(sequence)) {
        find(ChainFault::inserted, sequence, run,
             whose + " was not sealed by this station: it was put in");
        return;
    }
    recomputed_ = true;
    find(ChainFault::recomputed, sequence, run,
         "from " + whose + " on the chain was computed anew, not by this station");
}

void Walk::check_run(const StoredLink& stored) {
    const record::RunId run = stored.link.subject;
    const std::optional<Digest> content = digests_.of_run(run, stored.link.observation);
    if (!content) {
        find(ChainFault::removed, stored.link.sequence, run,
             "the record of " + run_name(run) + " is gone");
        return;
    }
    const std::optional<Digest> observation = digests_.of_observation(run);
    if (*content != stored.link.content)
        find(ChainFault::changed, stored.link.sequence, run,
             "the record of " + run_name(run) + " is not what was stored when it ended");
    else
        check_observation(stored, observation);
}

void Walk::check_observation(const StoredLink& stored, const std::optional<Digest>& observation) {
    if (observation == stored.link.observation) return;
    const record::RunId run = stored.link.subject;
    if (!observation && removed_by_a_person(run)) return;
    if (!observation) {
        find(ChainFault::removed, stored.link.sequence, run,
             "the raw observations of " + run_name(run) +
                 " are gone, and no row says who removed them");
        return;
    }
    find(ChainFault::changed, stored.link.sequence, run,
         "the raw observations of " + run_name(run) + " are not those of then");
}

// Under a removal that is in the chain itself, where its own rows are looked at.
bool Walk::removed_by_a_person(record::RunId run) {
    return Query(database_, ("SELECT 1 FROM removed_observation JOIN record_link"
                             " ON record_link.kind = 'removal' AND record_link." +
                             std::string(link_with_record) +
                             " AND record_link.subject = removal WHERE run = ?")
                                .c_str())
        .with(run)
        .next();
}

void Walk::check_removal(const StoredLink& stored) {
    const std::optional<Digest> content = digests_.of_removal(stored.link.subject);
    if (content == stored.link.content) return;
    find(content ? ChainFault::changed : ChainFault::removed, stored.link.sequence, std::nullopt,
         "removal " + std::to_string(stored.link.subject) +
             (content ? " of observations is not what was stored" : " of observations is gone"));
}

void Walk::check_act(const StoredLink& stored) {
    const Link& link = stored.link;
    const std::optional<Digest> content = acts_.digest_of_act(link.act, link.subject);
    if (content == link.content) return;
    const std::string which = std::string(name_of(link.act)) + " " + std::to_string(link.subject);
    find(content ? ChainFault::changed : ChainFault::removed, link.sequence, std::nullopt,
         which + (content ? " is not what was stored" : " is gone"));
}

void Walk::check_disposition(const StoredLink& stored) {
    Query row(database_, "SELECT run FROM disposition WHERE id = ?");
    std::optional<record::RunId> run;
    if (row.with(stored.link.subject).next()) run = row.integer_at(0);
    const std::optional<Digest> content = digests_.of_disposition(stored.link.subject);
    if (content == stored.link.content) return;
    const std::string which =
        "disposition " + std::to_string(stored.link.subject) + (run ? " of " + run_name(*run) : "");
    find(content ? ChainFault::changed : ChainFault::removed, stored.link.sequence, run,
         which + (content ? " is not what was stored" : " is gone"));
}

// Links without a record. What the station noted when it was opened is told again.
void Walk::note(const StoredLink& stored) {
    const Link& link = stored.link;
    if (link.content != content_without_record(link.kind, link.subject)) {
        find(ChainFault::changed, link.sequence, std::nullopt,
             link_name(link.sequence) + " was changed");
        return;
    }
    if (link.kind == LinkKind::acts_begin) acts_begun_ = true;
    if (link.kind == LinkKind::beginning) report_.before = link.subject;
    if (link.kind == LinkKind::decisions_before) decisions_before_ = link.subject;
    if (link.kind == LinkKind::new_key)
        find(ChainFault::key_replaced, link.sequence, std::nullopt,
             "the key was missing when " + link_name(link.sequence) +
                 " was written: seals before it are not checked",
             true);
    if (link.kind != LinkKind::broken) return;
    const std::string when = "when " + link_name(link.sequence) + " was written, ";
    if (link.subject == 0)
        find(ChainFault::anchor_missing, link.sequence, std::nullopt,
             when + "the anchor file was missing or of another key", true);
    else if (link.subject >= link.sequence)
        find(ChainFault::tail_cut, link.sequence, std::nullopt,
             when + "the anchor knew " + std::to_string(link.subject) +
                 " links: " + links_name(link.sequence, link.subject) +
                 " of then are gone (an older copy was put in place, or the end was cut off)",
             true);
    else
        find(ChainFault::recomputed, link.sequence, std::nullopt,
             when + "the anchor had another " + link_name(link.subject) +
                 ": the chain before it was computed anew",
             true);
}

void Walk::look_for_the_unlinked() {
    const std::string linked(link_with_record);
    Query run(database_,
              ("SELECT run_end.run FROM run_end LEFT JOIN ending ON ending.run = run_end.run"
               " WHERE NOT EXISTS (SELECT 1 FROM record_link WHERE kind = 'run' AND " +
               linked +
               "  AND subject = run_end.run) AND coalesce(ending.sequence > ?, 1)"
               " ORDER BY run_end.run"));
    run.with(report_.before);
    while (run.next())
        find(ChainFault::inserted, 0, run.integer_at(0),
             run_name(run.integer_at(0)) + " is in no link: it was put in");
    Query before(database_, "SELECT count(*) FROM ending WHERE sequence <= ?");
    if (before.with(report_.before).next() && before.integer_at(0) != report_.before)
        find(ChainFault::removed, 1, std::nullopt,
             "runs of before the chain began are gone: " + std::to_string(before.integer_at(0)) +
                 " of " + std::to_string(report_.before) + " are left");
    Query decision(database_,
                   ("SELECT id, run FROM disposition WHERE id > ?"
                    " AND NOT EXISTS (SELECT 1 FROM record_link WHERE kind = 'disposition' AND " +
                    linked +
                    "  AND subject = disposition.id) AND EXISTS (SELECT 1 FROM disposition AS first"
                    "  WHERE first.run = disposition.run AND first.id < disposition.id)"
                    " ORDER BY id"));
    decision.with(decisions_before_);
    while (decision.next())
        find(ChainFault::inserted, 0, decision.integer_at(1),
             "disposition " + decision.text_at(0) + " of " + run_name(decision.integer_at(1)) +
                 " is in no link: it was put in");
    if (!acts_begun_) return;  // the station has not opened these records since
    for (std::size_t i = 0; i < act_kinds; ++i)
        for (const std::int64_t id : acts_.unlinked(static_cast<ActKind>(i), 0))
            find(ChainFault::inserted, 0, std::nullopt,
                 std::string(name_of(static_cast<ActKind>(i))) + " " + std::to_string(id) +
                     " is in no link: it was put in");
}

void Walk::look_at_the_end() {
    if (!anchor_) {
        if (key_)
            find(ChainFault::anchor_missing, 0, std::nullopt,
                 "the anchor file is missing, damaged, or of another key: whether the newest "
                 "records were cut off is not known");
        return;
    }
    report_.ahead = std::max<std::int64_t>(0, last_ - anchor_->sequence);
    if (anchor_->sequence > last_) {
        find(ChainFault::tail_cut, last_ + 1, std::nullopt,
             links_name(last_ + 1, anchor_->sequence) +
                 " are gone: the anchor knew them, and the records end before");
        return;
    }
    Query row(database_, "SELECT link FROM record_link WHERE sequence = ?");
    const bool there = row.with(anchor_->sequence).next();
    if (there && digest_at(row, 0) == anchor_->link) return;
    if (there && !recomputed_)
        find(ChainFault::recomputed, anchor_->sequence, std::nullopt,
             "the anchor had another " + link_name(anchor_->sequence) +
                 ": the chain was computed anew");
}

}  // namespace

Stored<ChainReport> verify_records(const std::string& ledger_path) {
    return verify_records(ledger_path, ledger_path);
}

Stored<ChainReport> verify_records(const std::string& ledger_path, const std::string& key_of) {
    const std::optional<SealKey> key = read_seal_key(key_of);
    // Read first: the ledger is then as far as the anchor, or further.
    std::optional<Anchor> anchor;
    if (key) anchor = read_anchor(ledger_path, *key);
    Stored<Connection> database = open_for_reading(ledger_path);
    if (!database) return database.error();
    try {
        return Walk(**database, key, anchor).go();
    } catch (const SQLite::Exception& error) {
        return fault_of(error, ledger_path);
    }
}

}  // namespace padtrim::ledger
