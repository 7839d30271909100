#include "db/ledger/rollup_scopes.hpp"

#include <array>
#include <limits>
#include <map>
#include <string>
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

struct Origin {
    std::string station, product, recipe, recipe_revision, fixture;
};
using Origins = std::map<std::int64_t, Origin>;

// Few, and known by name; scopes are many, and so are looked at as numbers alone.
Origins wanted_origins(Database& database, const RollupFilter& filter) {
    Query row(database,
              "SELECT rollup_origin.id, station.name, product, recipe, recipe_revision, fixture"
              " FROM rollup_origin JOIN station ON station.id = rollup_origin.station"
              " WHERE (?1 IS NULL OR station.name = ?1) AND (?2 IS NULL OR product = ?2)"
              " AND (?3 IS NULL OR recipe = ?3) AND (?4 IS NULL OR recipe_revision = ?4)"
              " AND (?5 IS NULL OR fixture = ?5) AND measure_only = ?6 AND (?7 OR draft = 0)");
    row.with(filter.station, filter.product, filter.recipe, filter.recipe_revision, filter.fixture,
             filter.measure_only, filter.drafts);
    Origins origins;
    while (row.next())
        origins[row.integer_at(0)] = {row.text_at(1), row.text_at(2), row.text_at(3),
                                      row.text_at(4), row.text_at(5)};
    return origins;
}

struct Scope {
    std::int64_t id = 0, origin = 0, lot = 0;
    int day = 0, shift = 0, shift_day = 0;
    std::uint16_t nest = 0;
};

// What of a scope tells its group; the same group may have several (origins that differ in what is
// not asked for).
using GroupKey = std::array<std::int64_t, 4>;

class Groups {
  public:
    Groups(Database& database, const Origins& origins, RollupBy by)
        : lot_name_(database, "SELECT name FROM lot WHERE id = ?"), origins_(origins), by_(by) {}

    std::size_t number_of(const Scope& scope, std::string_view family) {
        const auto [known, fresh] = numbers_of_keys_.try_emplace(key_of(scope, family), 0);
        if (fresh)
            known->second =
                numbers_.try_emplace(group_of(scope, family), numbers_.size()).first->second;
        return known->second;
    }
    [[nodiscard]] const std::map<RollupGroup, std::size_t>& numbers() const { return numbers_; }

  private:
    [[nodiscard]] int day_of(const Scope& scope, std::string_view family) const {
        if (by_ == RollupBy::day) return scope.day;
        if (by_ == RollupBy::shift_of_day) return scope.shift_day;
        if (by_ != RollupBy::month) return 0;
        return family == "month" ? scope.day : month_of(scope.day);
    }
    [[nodiscard]] bool shifts() const {
        return by_ == RollupBy::shift || by_ == RollupBy::shift_of_day;
    }
    [[nodiscard]] GroupKey key_of(const Scope& scope, std::string_view family) const {
        return {scope.origin, by_ == RollupBy::lot ? scope.lot : 0, day_of(scope, family),
                shifts()                ? scope.shift
                : by_ == RollupBy::nest ? scope.nest
                                        : 0};
    }
    RollupGroup group_of(const Scope& scope, std::string_view family) {
        const Origin& origin = origins_.at(scope.origin);
        RollupGroup group;
        const bool lot = by_ == RollupBy::lot;
        if (lot && lot_name_.with(scope.lot).next()) group.lot = lot_name_.text_at(0);
        if (lot || by_ == RollupBy::station || by_ == RollupBy::nest)
            group.station = origin.station;
        if (lot || by_ == RollupBy::product || by_ == RollupBy::recipe_revision)
            group.product = origin.product;
        if (lot || by_ == RollupBy::recipe_revision) {
            group.recipe = origin.recipe;
            group.recipe_revision = origin.recipe_revision;
        }
        if (by_ == RollupBy::nest) {
            group.fixture = origin.fixture;
            group.nest = scope.nest;
        }
        if (shifts()) group.shift = scope.shift;
        if (by_ == RollupBy::day || by_ == RollupBy::shift_of_day || by_ == RollupBy::month)
            group.day = sys_days{days{day_of(scope, family)}};
        return group;
    }

    Query lot_name_;
    const Origins& origins_;
    RollupBy by_;
    std::map<GroupKey, std::size_t> numbers_of_keys_;
    std::map<RollupGroup, std::size_t> numbers_;
};

// The family as a word, so that SQLite sees which index it may use; and the index by name where it
// would choose that of the days, which finds more.
std::string scope_query(const RollupFilter& filter, std::string_view family) {
    return std::string("SELECT id, origin, lot, day, shift, shift_day, nest FROM rollup_scope") +
           (filter.lot ? " INDEXED BY rollup_scope_of_lot" : "") +
           " WHERE day >= ?1 AND day < ?2 AND (?3 IS NULL OR shift = ?3)"
           " AND (?4 IS NULL OR nest = ?4) AND family = '" +
           std::string(family) + "'" +
           (filter.lot ? " AND lot IN (SELECT lot.id FROM station"
                         " CROSS JOIN lot ON lot.station = station.id WHERE lot.name = ?5)"
                       : "") +
           " ORDER BY day";
}

template <class Take>
void each_scope(Database& database, const RollupFilter& filter, const Piece& piece, Take take) {
    Query row(database, scope_query(filter, piece.family));
    if (filter.lot) {
        row.with(piece.since, piece.until, filter.shift, filter.nest, *filter.lot);
    } else {
        row.with(piece.since, piece.until, filter.shift, filter.nest);
    }
    while (row.next())
        take({row.integer_at(0), row.integer_at(1), row.integer_at(2), row.at<int>(3),
              row.at<int>(4), row.at<int>(5), row.at<std::uint16_t>(6)});
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

std::vector<LotScope> lot_scopes_for(Database& database, const RollupFilter& filter) {
    const Origins origins = wanted_origins(database, filter);
    std::vector<LotScope> scopes;
    for (const Piece& piece : pieces_of(filter, RollupBy::lot))
        each_scope(database, filter, piece, [&](const Scope& scope) {
            if (origins.contains(scope.origin)) scopes.push_back({scope.id, scope.lot});
        });
    return scopes;
}

ScopeList scopes_for(Database& database, const RollupFilter& filter, RollupBy by) {
    ScopeList list;
    const Origins origins = wanted_origins(database, filter);
    Groups groups(database, origins, by);
    for (const Piece& piece : pieces_of(filter, by))
        each_scope(database, filter, piece, [&](const Scope& scope) {
            if (origins.contains(scope.origin))
                list.scopes.push_back({scope.id, groups.number_of(scope, piece.family)});
        });
    put_in_order(list, groups.numbers());
    return list;
}

}  // namespace padtrim::ledger
