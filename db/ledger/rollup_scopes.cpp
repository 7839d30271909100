#include "db/ledger/rollup_scopes.hpp"

#include <limits>
#include <map>
#include <string_view>

#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

using std::chrono::days;
using std::chrono::months;
using std::chrono::sys_days;
using std::chrono::year_month_day;

constexpr int no_day = std::numeric_limits<int>::min();
constexpr int any_day = std::numeric_limits<int>::max();

int number_of(sys_days day) {
    return static_cast<int>(day.time_since_epoch().count());
}

int month_of(int day) {
    const year_month_day date{sys_days{days{day}}};
    return number_of(sys_days{date.year() / date.month() / 1});
}

int next_month(int day) {
    const year_month_day date{sys_days{days{month_of(day)}}};
    return number_of(sys_days{date + months(1)});
}

// Rows of one family whose day is in [since, until).
struct Piece {
    std::string_view family;
    int since = no_day, until = any_day;
};

// The newest and oldest days are left open where months can hold them.
std::vector<Piece> in_months(int since, int until, std::string_view edges) {
    const int from = since == no_day || month_of(since) == since ? since : next_month(since);
    const int to = until == any_day ? until : month_of(until);
    if (from >= to) return {{edges, since, until}};
    std::vector<Piece> pieces;
    if (since < from) pieces.push_back({edges, since, from});
    pieces.push_back({"month", from, to});
    if (to < until) pieces.push_back({edges, to, until});
    return pieces;
}

std::vector<Piece> pieces_of(const RollupFilter& filter, RollupBy by) {
    const int since = filter.since ? number_of(*filter.since) : no_day;
    const int until = filter.until ? number_of(*filter.until) : any_day;
    if (filter.lot || by == RollupBy::lot) return {{"lot", since, until}};
    const bool nests = filter.nest || by == RollupBy::nest;
    const std::string_view edges = nests ? "lot" : "day";
    if (by == RollupBy::day || by == RollupBy::shift_of_day) return {{edges, since, until}};
    return in_months(since, until, edges);
}

constexpr const char* scope_query =
    "SELECT rollup_scope.id, rollup_scope.day, rollup_scope.shift, rollup_scope.shift_day,"
    " rollup_scope.nest, coalesce(lot.name, ''), station.name, rollup_origin.product,"
    " rollup_origin.recipe, rollup_origin.recipe_revision, rollup_origin.fixture"
    " FROM rollup_scope JOIN rollup_origin ON rollup_origin.id = rollup_scope.origin"
    " JOIN station ON station.id = rollup_origin.station"
    " LEFT JOIN lot ON lot.id = rollup_scope.lot"
    " WHERE rollup_scope.day >= ?1 AND rollup_scope.day < ?2"
    " AND (?3 IS NULL OR station.name = ?3) AND (?4 IS NULL OR rollup_origin.product = ?4)"
    " AND (?5 IS NULL OR rollup_origin.recipe = ?5)"
    " AND (?6 IS NULL OR rollup_origin.recipe_revision = ?6)"
    " AND (?7 IS NULL OR rollup_origin.fixture = ?7)"
    " AND (?8 IS NULL OR rollup_scope.shift = ?8) AND (?9 IS NULL OR rollup_scope.nest = ?9)"
    " AND rollup_origin.measure_only = ?10 AND (?11 OR rollup_origin.draft = 0)";

constexpr const char* one_lot = " AND rollup_scope.lot IN (SELECT id FROM lot WHERE name = ?12)";

RollupGroup group_of(Query& row, RollupBy by, std::string_view family) {
    RollupGroup group;
    const bool lot = by == RollupBy::lot;
    const auto day = [](int number) { return sys_days{days{number}}; };
    if (lot) group.lot = row.text_at(5);
    if (lot || by == RollupBy::station || by == RollupBy::nest) group.station = row.text_at(6);
    if (lot || by == RollupBy::product || by == RollupBy::recipe_revision)
        group.product = row.text_at(7);
    if (lot || by == RollupBy::recipe_revision) {
        group.recipe = row.text_at(8);
        group.recipe_revision = row.text_at(9);
    }
    if (by == RollupBy::nest) {
        group.fixture = row.text_at(10);
        group.nest = row.at<std::uint16_t>(4);
    }
    if (by == RollupBy::shift || by == RollupBy::shift_of_day) group.shift = row.at<int>(2);
    if (by == RollupBy::day) group.day = day(row.at<int>(1));
    if (by == RollupBy::shift_of_day) group.day = day(row.at<int>(3));
    if (by == RollupBy::month)
        group.day = day(family == "month" ? row.at<int>(1) : month_of(row.at<int>(1)));
    return group;
}

// Groups were numbered as they came.
void put_in_order(ScopeList& list, const std::map<RollupGroup, std::size_t>& numbers) {
    std::vector<std::size_t> place(numbers.size());
    for (const auto& [group, number] : numbers) {
        place[number] = list.groups.size();
        list.groups.push_back(group);
    }
    for (GroupedScope& scope : list.scopes) scope.group = place[scope.group];
}

}  // namespace

ScopeList scopes_for(SQLite::Database& database, const RollupFilter& filter, RollupBy by) {
    ScopeList list;
    std::map<RollupGroup, std::size_t> numbers;
    for (const Piece& piece : pieces_of(filter, by)) {
        // The family as a word, so that SQLite sees which index it may use.
        const std::string query = std::string(scope_query) + (filter.lot ? one_lot : "") +
                                  " AND rollup_scope.family = '" + std::string(piece.family) +
                                  "' ORDER BY rollup_scope.day";
        Query row(database, query.c_str());
        const auto with = [&](const auto&... lot) {
            row.with(piece.since, piece.until, filter.station, filter.product, filter.recipe,
                     filter.recipe_revision, filter.fixture, filter.shift, filter.nest,
                     filter.measure_only, filter.drafts, lot...);
        };
        if (filter.lot) {
            with(*filter.lot);
        } else {
            with();
        }
        while (row.next()) {
            const auto group = numbers.try_emplace(group_of(row, by, piece.family), numbers.size());
            list.scopes.push_back({row.integer_at(0), group.first->second});
        }
    }
    put_in_order(list, numbers);
    return list;
}

}  // namespace padtrim::ledger
