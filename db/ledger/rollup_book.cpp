#include "db/ledger/rollup_book.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "db/ledger/statement.hpp"
#include "db/ledger/stored_words.hpp"

namespace padtrim::ledger {

using record::CheckResult;
using record::Verdict;

namespace {

constexpr std::array<std::string_view, 3> family_names{"lot", "day", "month"};

std::int64_t first_of_month(int day) {
    using namespace std::chrono;
    const year_month_day date{sys_days{days{day}}};
    return sys_days{date.year() / date.month() / 1}.time_since_epoch().count();
}

// Family, day, origin, lot, shift, shift_day, nest: 0 for what the family leaves out.
std::array<std::int64_t, 7> scope_columns(std::size_t family, std::int64_t origin,
                                          const RollupWhere& where) {
    const record::ShiftMoment& when = where.when;
    const auto number = static_cast<std::int64_t>(family);
    if (family == 0)
        return {number, when.day, origin, where.lot, when.shift, when.shift_day, where.nest};
    if (family == 1) return {number, when.day, origin, 0, when.shift, when.shift_day, 0};
    return {number, first_of_month(when.day), origin, 0, when.shift, 0, where.nest};
}

std::uint64_t& of_verdict(record::VerdictCounts& counts, Verdict verdict) {
    switch (verdict) {
        case Verdict::pass:
            return counts.pass;
        case Verdict::fail:
            return counts.fail;
        case Verdict::inconclusive:
            return counts.inconclusive;
        case Verdict::no_verdict:
            break;
    }
    return counts.no_verdict;
}

}  // namespace

RollupBook::RollupBook(Database& database)
    : database_(database),
      read_units_(database,
                  "SELECT runs, units, first_pass, final_pass, retested, rejected_first, recovered,"
                  " without_verdict, pass, fail, inconclusive, no_verdict, removed, retried"
                  " FROM rollup_units WHERE scope = ?"),
      read_failure_(
          database,
          "SELECT failed, inconclusive, first_failing, recovered, retried FROM rollup_failure"
          " WHERE scope = ? AND place = ? AND later = ?"),
      read_value_(database,
                  "SELECT count, mean, squares, lowest, highest, pass, fail, inconclusive,"
                  " no_verdict, low, high, limit_changes, histogram FROM rollup_value"
                  " WHERE scope = ? AND place = ? AND later = ?"),
      read_place_(database,
                  "SELECT id FROM rollup_place WHERE step = ? AND name = ? AND key = ?"
                  " AND channel = ? AND frequency = ? AND stage = ? AND unit = ?") {}

std::int64_t RollupBook::origin_id(const RollupOrigin& origin) {
    const auto known = origins_.find(origin);
    if (known != origins_.end()) return known->second;
    const auto with = [&](Query& query) -> Query& {
        return query.with(origin.station, origin.product, origin.recipe, origin.recipe_revision,
                          origin.fixture, origin.measure_only, origin.draft);
    };
    Query stored(database_,
                 "SELECT id FROM rollup_origin WHERE station = ? AND product = ? AND recipe = ?"
                 " AND recipe_revision = ? AND fixture = ? AND measure_only = ? AND draft = ?");
    if (with(stored).next()) return origins_[origin] = stored.integer_at(0);
    Query insert(database_,
                 "INSERT INTO rollup_origin (station, product, recipe, recipe_revision, fixture,"
                 " measure_only, draft) VALUES (?, ?, ?, ?, ?, ?, ?)");
    with(insert).run();
    return origins_[origin] = database_.getLastInsertRowid();
}

std::int64_t RollupBook::scope_id(std::size_t family, const RollupWhere& where) {
    const auto columns = scope_columns(family, origin_id(where.origin), where);
    const auto known = scopes_.find(columns);
    if (known != scopes_.end()) return known->second;
    const auto with = [&](Query& query) -> Query& {
        return query.with(family_names[family], columns[1], columns[2], columns[3], columns[4],
                          columns[5], columns[6]);
    };
    Query stored(database_,
                 "SELECT id FROM rollup_scope WHERE family = ? AND day = ? AND origin = ?"
                 " AND lot = ? AND shift = ? AND shift_day = ? AND nest = ?");
    if (with(stored).next()) return scopes_[columns] = stored.integer_at(0);
    Query insert(database_,
                 "INSERT INTO rollup_scope (family, day, origin, lot, shift, shift_day, nest)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?)");
    with(insert).run();
    return scopes_[columns] = database_.getLastInsertRowid();
}

RollupBook::Scopes RollupBook::scopes_of(const RollupWhere& where) {
    Scopes scopes{};
    for (std::size_t i = 0; i < families; ++i) scopes[i] = scope_id(i, where);
    return scopes;
}

std::string RollupBook::place_words(const CheckResult& check, bool any_channel) {
    words_.clear();
    for (const std::string* word : {&check.step, &check.check, &check.key, &check.unit}) {
        if (word == &check.unit && any_channel) continue;
        words_.append(std::to_string(word->size())).append(1, ':').append(*word);
    }
    words_.append(std::to_string(any_channel ? -1 : check.channel)).append(1, ',');
    words_.append(std::to_string(any_channel ? -1 : check.frequency));
    return words_.append(check.stage == record::Stage::as_left ? "l" : "f")
        .append(any_channel ? "*" : "");
}

std::int64_t RollupBook::place_id(const CheckResult& check, bool any_channel) {
    const std::string words = place_words(check, any_channel);
    const auto known = places_.find(words);
    if (known != places_.end()) return known->second;
    const auto with = [&](Query& query) -> Query& {
        return query.with(check.step, check.check, check.key, any_channel ? -1 : check.channel,
                          any_channel ? -1 : check.frequency, record::name_of(check.stage),
                          any_channel ? "" : check.unit);
    };
    if (with(read_place_).next()) return places_[words] = read_place_.integer_at(0);
    Query insert(database_,
                 "INSERT INTO rollup_place (step, name, key, channel, frequency, stage, unit)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?)");
    with(insert).run();
    return places_[words] = database_.getLastInsertRowid();
}

void RollupBook::make_places(std::span<const CheckResult> checks) {
    std::vector<const CheckResult*> sorted;
    for (const CheckResult& check : checks) sorted.push_back(&check);
    std::stable_sort(sorted.begin(), sorted.end(), [](const auto* a, const auto* b) {
        return std::tie(a->stage, a->step, a->check) < std::tie(b->stage, b->step, b->check);
    });
    for (const CheckResult* check : sorted) (void)place_id(*check, false);
}

void RollupBook::count_units(const RollupWhere& where, const UnitDelta& change) {
    for (const std::int64_t scope : scopes_of(where)) {
        UnitDelta& row = unit_row(scope);
        for (std::size_t i = 0; i < unit_columns; ++i) row[i] += change[i];
    }
}

void RollupBook::add_try(const RollupWhere& where, bool later,
                         std::span<const CheckResult> checks) {
    const Scopes scopes = scopes_of(where);
    add_values(scopes, later, checks);
    add_failures(scopes, later, checks);
}

void RollupBook::add_values(const Scopes& scopes, bool later, std::span<const CheckResult> checks) {
    if (std::any_of(checks.begin(), checks.end(), [&](const CheckResult& check) {
            return !places_.contains(place_words(check, false));
        }))
        make_places(checks);
    for (const CheckResult& check : checks) {
        const std::int64_t place = place_id(check, false);
        for (const std::int64_t scope : scopes) {
            ValueRow& row = value_row({scope, place, later});
            const record::VerdictCounts& seen = row.verdicts;
            const bool first = seen.pass + seen.fail + seen.inconclusive + seen.no_verdict == 0;
            if (!first && (row.low != check.low || row.high != check.high)) ++row.limit_changes;
            row.low = check.low;
            row.high = check.high;
            ++of_verdict(row.verdicts, check.verdict);
            if (!std::isfinite(check.value)) continue;
            row.moments.add(check.value);
            row.histogram.add(check.value);
        }
    }
}

void RollupBook::add_failures(const Scopes& scopes, bool later,
                              std::span<const CheckResult> checks) {
    // A try counts once a check, as failed when any channel or frequency of it failed.
    std::map<std::int64_t, record::FailureCounts> places;
    bool failed_before = false;
    for (const CheckResult& check : checks) {
        const bool fails = check.verdict == Verdict::fail;
        if (!fails && check.verdict != Verdict::inconclusive) continue;
        record::FailureCounts& place = places[place_id(check, true)];
        (fails ? place.failed : place.inconclusive) = 1;
        if (fails && !failed_before) place.first_failing = 1;
        failed_before = failed_before || fails;
    }
    for (auto& [place, counts] : places) {
        if (counts.failed > 0) counts.inconclusive = 0;
        for (const std::int64_t scope : scopes) {
            record::FailureCounts& row = failure_row({scope, place, later});
            row = row + counts;
        }
    }
}

void RollupBook::count_after(const RollupWhere& where, const CheckResult& first_failing,
                             std::uint64_t record::FailureCounts::*which, int change) {
    const std::int64_t place = place_id(first_failing, true);
    for (const std::int64_t scope : scopes_of(where)) {
        std::uint64_t& count = failure_row({scope, place, false}).*which;
        count = change > 0 ? count + 1 : count - 1;
    }
}

}  // namespace padtrim::ledger
