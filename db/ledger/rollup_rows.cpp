#include "db/ledger/rollup_rows.hpp"

#include <optional>
#include <utility>

#include "db/ledger/begun_runs.hpp"
#include "db/ledger/check_rows.hpp"
#include "db/ledger/rollup_book.hpp"
#include "db/ledger/shift_hour_rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/stored_words.hpp"
#include "db/ledger/value_columns.hpp"

namespace padtrim::ledger::rows {

using record::RunId;
using record::Verdict;

namespace {

// A transaction's worth of a rebuild; bounds its memory.
constexpr int runs_between_flushes = 5000;

struct EndedTry {
    RunId run = 0;
    Verdict verdict = Verdict::no_verdict;
    bool newest_ending = false;
};

// What a unit's ended runs make of it.
struct Standing {
    bool any = false;
    Verdict newest = Verdict::no_verdict;
    std::optional<EndedTry> first_try, last_try;
    int tries = 0;

    [[nodiscard]] bool failed_first() const {
        return first_try && first_try->verdict == Verdict::fail;
    }
    [[nodiscard]] bool recovered() const {
        return failed_first() && last_try->verdict == Verdict::pass;
    }
    [[nodiscard]] bool retried() const { return failed_first() && tries > 1; }
};

// `ended` in the order of run ids.
Standing standing_of(const std::vector<EndedTry>& ended, bool with_newest_ending) {
    Standing standing;
    for (const EndedTry& each : ended) {
        if (each.newest_ending && !with_newest_ending) continue;
        standing.any = true;
        standing.newest = each.verdict;
        if (each.verdict == Verdict::no_verdict) continue;
        if (!standing.first_try) standing.first_try = each;
        standing.last_try = each;
        ++standing.tries;
    }
    return standing;
}

UnitColumn column_of(Verdict verdict) {
    switch (verdict) {
        case Verdict::pass:
            return UnitColumn::pass;
        case Verdict::fail:
            return UnitColumn::fail;
        case Verdict::inconclusive:
            return UnitColumn::inconclusive;
        case Verdict::no_verdict:
            break;
    }
    return UnitColumn::no_verdict;
}

void add_standing(UnitDelta& delta, const Standing& unit, int times) {
    if (!unit.any) return;
    in(delta, column_of(unit.newest)) += times;
    if (!unit.first_try) {
        in(delta, UnitColumn::without_verdict) += times;
        return;
    }
    in(delta, UnitColumn::units) += times;
    if (unit.first_try->verdict == Verdict::pass) in(delta, UnitColumn::first_pass) += times;
    if (unit.last_try->verdict == Verdict::pass) in(delta, UnitColumn::final_pass) += times;
    if (unit.tries > 1) in(delta, UnitColumn::retested) += times;
    if (unit.failed_first()) in(delta, UnitColumn::rejected_first) += times;
    if (unit.recovered()) in(delta, UnitColumn::recovered) += times;
    if (unit.retried()) in(delta, UnitColumn::retried) += times;
}

// Reads what counting needs, and hands it on.
class Counting {
  public:
    // anew: set-aside units that were run since are not counted to begin with.
    Counting(Database& database, bool anew)
        : database_(database),
          anew_(anew),
          book_(database),
          begun_(database),
          tries_(database,
                 "SELECT run.id, run_end.verdict, ending.sequence = ?1 FROM run"
                 " JOIN run_end ON run_end.run = run.id JOIN ending ON ending.run = run.id"
                 " WHERE run.lot = ?2 AND run.serial = ?3 AND ending.sequence <= ?1"
                 " ORDER BY run.id"),
          verdict_(database, "SELECT verdict FROM run_end WHERE run = ?"),
          set_asides_(database,
                      "SELECT min(id) FROM set_aside WHERE lot = ? AND serial = ?"
                      " AND serial <> ''"),
          checks_(database) {}

    // The run's lot.
    record::LotId count_end(std::int64_t sequence, RunId run);
    // With the runs that have ended until now.
    void count_set_aside(std::int64_t set_aside);
    // No statement stays under way: it would hold a moment of the database.
    void flush() {
        book_.flush();
        begun_.rest();
        for (Query* query : {&tries_, &verdict_, &set_asides_}) query->rest();
    }

  private:
    BegunRun begun(RunId run) { return begun_.of(run); }
    std::vector<EndedTry> ended_tries(std::int64_t sequence, RunId run, const BegunRun& of);
    std::vector<record::CheckResult> failing(RunId run);
    void move_after(bool before, bool after, const Standing& was, const Standing& is,
                    std::uint64_t record::FailureCounts::*which);
    void change_after(RunId first_try, std::uint64_t record::FailureCounts::*which, int change);
    bool ended_before(record::LotId lot, const std::string& serial);
    std::pair<RollupWhere, std::string> set_aside_where(std::int64_t set_aside);
    void count_removed(std::int64_t set_aside, int change);

    Database& database_;
    bool anew_;
    RollupBook book_;
    BegunRuns begun_;
    Query tries_, verdict_, set_asides_;
    CheckRows checks_;
};

// A run without a serial is a unit of its own.
std::vector<EndedTry> Counting::ended_tries(std::int64_t sequence, RunId run, const BegunRun& of) {
    std::vector<EndedTry> tries;
    if (of.serial.empty()) {
        if (verdict_.with(run).next())
            tries.push_back({run, verdict_of(verdict_.text_at(0)), true});
        return tries;
    }
    tries_.with(sequence, of.where.lot, of.serial);
    while (tries_.next())
        tries.push_back(
            {tries_.integer_at(0), verdict_of(tries_.text_at(1)), tries_.integer_at(2) != 0});
    return tries;
}

record::LotId Counting::count_end(std::int64_t sequence, RunId run) {
    const BegunRun own = begun(run);
    const BegunRun home = own.unit == run ? own : begun(own.unit);
    const std::vector<EndedTry> ended = ended_tries(sequence, run, own);
    const Standing before = standing_of(ended, false), after = standing_of(ended, true);

    UnitDelta delta{};
    in(delta, UnitColumn::runs) = 1;
    add_standing(delta, before, -1);
    add_standing(delta, after, 1);
    book_.count_units(home.where, delta);
    if (!anew_ && !before.any && set_asides_.with(own.where.lot, own.serial).next() &&
        !set_asides_.null_at(0))
        count_removed(set_asides_.integer_at(0), -1);

    if (after.tries > before.tries) book_.add_try(own.where, before.tries > 0, checks_.of(run));
    move_after(before.recovered(), after.recovered(), before, after,
               &record::FailureCounts::recovered);
    move_after(before.retried(), after.retried(), before, after, &record::FailureCounts::retried);
    return own.where.lot;
}

void Counting::move_after(bool before, bool after, const Standing& was, const Standing& is,
                          std::uint64_t record::FailureCounts::*which) {
    const RunId from = before ? was.first_try->run : 0;
    const RunId to = after ? is.first_try->run : 0;
    if (from == to) return;
    if (from != 0) change_after(from, which, -1);
    if (to != 0) change_after(to, which, 1);
}

void Counting::change_after(RunId first_try, std::uint64_t record::FailureCounts::*which,
                            int change) {
    for (const record::CheckResult& check : checks_.of(first_try)) {
        if (check.verdict != Verdict::fail) continue;
        book_.count_after(begun(first_try).where, check, which, change);
        return;
    }
}

bool Counting::ended_before(record::LotId lot, const std::string& serial) {
    return Query(database_,
                 "SELECT 1 FROM run JOIN run_end ON run_end.run = run.id"
                 " WHERE run.lot = ? AND run.serial = ? LIMIT 1")
        .with(lot, serial)
        .next();
}

std::pair<RollupWhere, std::string> Counting::set_aside_where(std::int64_t set_aside) {
    Query row(database_,
              "SELECT lot.station, plan.product, plan.recipe, plan.recipe_revision, plan.fixture,"
              " lot.measure_only, coalesce(opening_permission.kind = 'draft', 0), set_aside.lot,"
              " set_aside.nest, set_aside.at, set_aside.serial"
              " FROM set_aside JOIN lot ON lot.id = set_aside.lot"
              " JOIN lot_opening ON lot_opening.id = set_aside.opening"
              " JOIN plan ON plan.hash = lot_opening.plan"
              " LEFT JOIN opening_permission ON opening_permission.opening = set_aside.opening"
              " WHERE set_aside.id = ?");
    if (!row.with(set_aside).next())
        throw UnknownWord("set-aside unit " + std::to_string(set_aside) + " has no lot or plan");
    RollupWhere where;
    where.origin = origin_at(row);
    where.lot = row.integer_at(7);
    where.nest = row.at<std::uint16_t>(8);
    where.when = record::shift_at(
        shift_hours(database_, where.origin.station, std::nullopt, set_aside), row.time_at(9));
    return {where, row.text_at(10)};
}

void Counting::count_removed(std::int64_t set_aside, int change) {
    UnitDelta delta{};
    in(delta, UnitColumn::removed) = change;
    book_.count_units(set_aside_where(set_aside).first, delta);
}

// Each serial counts once, by its first row, until a run of it ends.
void Counting::count_set_aside(std::int64_t set_aside) {
    const auto [where, serial] = set_aside_where(set_aside);
    if (!serial.empty()) {
        if (ended_before(where.lot, serial)) return;
        if (set_asides_.with(where.lot, serial).next() && set_asides_.integer_at(0) != set_aside)
            return;
    }
    count_removed(set_aside, 1);
}

}  // namespace

struct RollupKeeper::Parts {
    explicit Parts(Database& database)
        : counting(database, false),
          endings(database,
                  "SELECT sequence, run FROM ending WHERE sequence > ? ORDER BY sequence"),
          set_asides(database, "SELECT id FROM set_aside WHERE id > ? ORDER BY id") {}

    Counting counting;
    Query endings, set_asides;
};

RollupKeeper::RollupKeeper(Database& database)
    : database_(database), parts_(std::make_unique<Parts>(database)) {
    next_.ending = database.execAndGet("SELECT coalesce(max(sequence), 0) FROM ending").getInt64();
    next_.set_aside = database.execAndGet("SELECT coalesce(max(id), 0) FROM set_aside").getInt64();
    kept_ = next_;
}

RollupKeeper::~RollupKeeper() = default;

void RollupKeeper::extend() {
    if (!parts_) parts_ = std::make_unique<Parts>(database_);
    bool any = false;
    parts_->endings.with(next_.ending);
    for (; parts_->endings.next(); any = true) {
        next_.ending = parts_->endings.integer_at(0);
        const record::LotId lot =
            parts_->counting.count_end(next_.ending, parts_->endings.integer_at(1));
        // A run may end after its lot was closed: the lot's columns are not all of it then.
        if (has_columns(database_, lot)) closed_.push_back(lot);
    }
    parts_->set_asides.with(next_.set_aside);
    for (; parts_->set_asides.next(); any = true) {
        next_.set_aside = parts_->set_asides.integer_at(0);
        parts_->counting.count_set_aside(next_.set_aside);
    }
    if (any) parts_->counting.flush();
    for (const record::LotId lot : std::exchange(closed_, {})) write_columns(database_, lot);
}

// Names that were met in the act may be gone with it. Made anew when they are needed: a database in
// trouble may refuse that now.
void RollupKeeper::dropped() {
    forget();
    next_ = kept_;
    closed_.clear();
}

void RollupKeeper::forget() {
    parts_.reset();
}

// Names (origins, scopes, places) keep their numbers, so that rows which were sound do not change.
void rebuild_rollups(Database& database) {
    for (const char* table : {"rollup_units", "rollup_failure", "rollup_value", "rollup_version"})
        database.exec(std::string("DELETE FROM ") + table);
    Counting counting(database, true);
    Query set_aside(database, "SELECT id FROM set_aside ORDER BY id");
    while (set_aside.next()) counting.count_set_aside(set_aside.integer_at(0));
    Query ending(database, "SELECT sequence, run FROM ending ORDER BY sequence");
    for (int counted = 1; ending.next(); ++counted) {
        (void)counting.count_end(ending.integer_at(0), ending.integer_at(1));
        if (counted % runs_between_flushes == 0) counting.flush();
    }
    counting.flush();
    rewrite_columns(database);
    Query(database, "INSERT INTO rollup_version (version) VALUES (?)").with(rollup_version).run();
}

bool fill_rollups(Database& database) {
    const int filled =
        database.execAndGet("SELECT coalesce(max(version), 0) FROM rollup_version").getInt();
    if (filled == rollup_version) return false;
    rebuild_rollups(database);
    return true;
}

}  // namespace padtrim::ledger::rows
