#include "db/ledger/record_chain.hpp"

namespace padtrim::ledger {

namespace {

Bytes stored(const Digest& digest) {
    return {digest.begin(), digest.end()};
}

std::int64_t newest(Database& database, const char* query) {
    return database.execAndGet(query).getInt64();
}

}  // namespace

std::string_view name_of(LinkKind kind) {
    switch (kind) {
        case LinkKind::beginning:
            return "beginning";
        case LinkKind::decisions_before:
            return "decisions before";
        case LinkKind::run:
            return "run";
        case LinkKind::disposition:
            return "disposition";
        case LinkKind::removal:
            return "removal";
        case LinkKind::act:
            return "act";
        case LinkKind::acts_begin:
            return "acts begin";
        case LinkKind::new_key:
            return "new key";
        case LinkKind::broken:
            return "break";
    }
    return "";
}

std::string_view kind_word(const Link& link) {
    return link.kind == LinkKind::act ? name_of(link.act) : name_of(link.kind);
}

Digest link_digest(const Digest& before, const Link& link) {
    ByteWriter writer;
    const auto write = [&](const Digest& digest) {
        for (const std::uint8_t byte : digest) writer.byte(byte);
    };
    write(before);
    writer.integer(link.sequence);
    writer.text(kind_word(link));
    writer.integer(link.subject);
    writer.flag(link.observation.has_value());
    if (link.observation) write(*link.observation);
    write(link.content);
    return digest_of(writer.bytes());
}

Digest content_without_record(LinkKind kind, std::int64_t subject) {
    ByteWriter writer;
    writer.text(name_of(kind));
    writer.integer(subject);
    return digest_of(writer.bytes());
}

RecordChain::RecordChain(Database& database, const std::string& path, const SealKey& key,
                         bool new_key)
    : database_(database),
      key_(key),
      digests_(database),
      acts_(database),
      new_endings_(database,
                   "SELECT sequence, run FROM ending WHERE sequence > ? ORDER BY sequence"),
      new_dispositions_(
          database,
          "SELECT id, EXISTS (SELECT 1 FROM disposition AS first WHERE first.run = disposition.run"
          " AND first.id < disposition.id) FROM disposition WHERE id > ? ORDER BY id"),
      new_removals_(database, "SELECT id FROM observation_removal WHERE id > ? ORDER BY id"),
      insert_(database,
              "INSERT INTO record_link (sequence, kind, subject, observation, content, link, seal)"
              " VALUES (?, ?, ?, ?, ?, ?, ?)"),
      anchor_(path) {
    const std::optional<Anchor> anchor = read_anchor(path, key);
    Transaction transaction(database_, Transaction::Kind::writing);
    begin(new_key);
    begin_acts();
    check_anchor(anchor);
    transaction.commit();
    kept_ = next_;
    // Both lines, for an older one may name links that are gone; and on the disk once, so that a
    // power cut can leave an older anchor and never none.
    const Anchor now{kept_.sequence, kept_.link, seal_of(key_, kept_.link)};
    anchor_.write(now);
    anchor_.write(now);
    anchor_.sync();
}

void RecordChain::begin(bool new_key) {
    next_.ending = newest(database_, "SELECT coalesce(max(sequence), 0) FROM ending");
    next_.disposition = newest(database_, "SELECT coalesce(max(id), 0) FROM disposition");
    next_.removal = newest(database_, "SELECT coalesce(max(id), 0) FROM observation_removal");
    next_.sequence = newest(database_, "SELECT coalesce(max(sequence), 0) FROM record_link");
    kept_ = next_;
    const auto without_record = [&](LinkKind kind, std::int64_t subject) {
        append({0, kind, subject, std::nullopt, content_without_record(kind, subject)});
    };
    if (next_.sequence == 0) {
        without_record(LinkKind::beginning, newest(database_, "SELECT count(*) FROM ending"));
        without_record(LinkKind::decisions_before, next_.disposition);
        return;
    }
    next_.link = stored_link(next_.sequence);
    if (new_key) without_record(LinkKind::new_key, 0);
}

// What stood in a ledger before acts were in the chain is taken in as it stands, once.
void RecordChain::begin_acts() {
    for (std::size_t i = 0; i < act_kinds; ++i)
        next_.acts[i] = acts_.newest(static_cast<ActKind>(i));
    Query begun(database_, "SELECT 1 FROM record_link WHERE kind = 'acts begin'");
    if (begun.next()) return;
    std::int64_t stood = 0;
    for (std::size_t i = 0; i < act_kinds; ++i)
        stood += static_cast<std::int64_t>(acts_.unlinked(static_cast<ActKind>(i), 0).size());
    append({0, LinkKind::acts_begin, stood, std::nullopt,
            content_without_record(LinkKind::acts_begin, stood)});
    next_.acts.fill(0);
    append_acts();
}

// A chain that has been cut, or an older copy put in place, shows in the anchor; the finding stays
// in the chain, for the anchor goes on.
void RecordChain::check_anchor(const std::optional<Anchor>& anchor) {
    if (kept_.sequence == 0) return;
    const bool fits = anchor && anchor->sequence <= kept_.sequence &&
                      stored_link(anchor->sequence) == anchor->link;
    if (fits) return;
    const std::int64_t claimed = anchor ? anchor->sequence : 0;
    append({0, LinkKind::broken, claimed, std::nullopt,
            content_without_record(LinkKind::broken, claimed)});
}

Digest RecordChain::stored_link(std::int64_t sequence) {
    Digest link{};
    Query row(database_, "SELECT link FROM record_link WHERE sequence = ?");
    if (!row.with(sequence).next()) return link;
    const auto bytes = row.bytes_at(0);
    if (bytes.size() == link.size()) std::copy(bytes.begin(), bytes.end(), link.begin());
    return link;
}

void RecordChain::append(Link link) {
    link.sequence = next_.sequence + 1;
    const Digest digest = link_digest(next_.link, link);
    std::optional<Bytes> observation;
    if (link.observation) observation = stored(*link.observation);
    insert_
        .with(link.sequence, kind_word(link), link.subject, observation, stored(link.content),
              stored(digest), stored(seal_of(key_, digest)))
        .run();
    insert_.rest();
    next_.sequence = link.sequence;
    next_.link = digest;
}

void RecordChain::extend() {
    next_ = kept_;
    append_runs();
    append_dispositions();
    append_removals();
    if (acts_written_) append_acts();
}

void RecordChain::append_acts() {
    for (std::size_t i = 0; i < act_kinds; ++i) {
        const auto kind = static_cast<ActKind>(i);
        for (const std::int64_t id : acts_.unlinked(kind, next_.acts[i]))
            append(
                {0, LinkKind::act, id, std::nullopt, acts_.digest_of_act(kind, id).value(), kind});
        next_.acts[i] = acts_.newest(kind);
    }
}

void RecordChain::append_runs() {
    new_endings_.with(next_.ending);
    while (new_endings_.next()) {
        const record::RunId run = new_endings_.integer_at(1);
        const std::optional<Digest> observation = digests_.of_observation(run);
        append({0, LinkKind::run, run, observation, digests_.of_run(run, observation).value()});
        next_.ending = new_endings_.integer_at(0);
    }
    new_endings_.rest();
}

void RecordChain::append_dispositions() {
    new_dispositions_.with(next_.disposition);
    while (new_dispositions_.next()) {
        const std::int64_t id = new_dispositions_.integer_at(0);
        // A run's first disposition is part of its record.
        if (new_dispositions_.integer_at(1) != 0)
            append(
                {0, LinkKind::disposition, id, std::nullopt, digests_.of_disposition(id).value()});
        next_.disposition = id;
    }
    new_dispositions_.rest();
}

void RecordChain::append_removals() {
    new_removals_.with(next_.removal);
    while (new_removals_.next()) {
        const std::int64_t id = new_removals_.integer_at(0);
        append({0, LinkKind::removal, id, std::nullopt, digests_.of_removal(id).value()});
        next_.removal = id;
    }
    new_removals_.rest();
}

void RecordChain::committed() {
    if (next_.sequence != kept_.sequence)
        anchor_.write({next_.sequence, next_.link, seal_of(key_, next_.link)});
    kept_ = next_;
    if (sync_) anchor_.sync();
    sync_ = acts_written_ = false;
}

void RecordChain::dropped() {
    next_ = kept_;
    sync_ = acts_written_ = false;
}

}  // namespace padtrim::ledger
