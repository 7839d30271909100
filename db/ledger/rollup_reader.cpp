#include "db/ledger/rollup_reader.hpp"

#include <algorithm>
#include <map>

#include "db/ledger/packed_histogram.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/rollup_book.hpp"
#include "db/ledger/rollup_scopes.hpp"
#include "db/ledger/shift_hour_rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/value_columns.hpp"

namespace padtrim::ledger {

namespace {

// Pages of old days come from the file otherwise; a question looks at most at a few thousand.
constexpr const char* roomy_cache = "PRAGMA cache_size = -65536";

void demand_filled(Database& database) {
    database.exec(roomy_cache);
    if (database.execAndGet("SELECT count(*) FROM rollup_version").getInt() == 0)
        throw UnknownWord("its rollups were never filled: start the station on it once");
}

// Places of one filter, by their id.
std::map<std::int64_t, CheckPlace> wanted_places(Database& database, const PlaceFilter& filter,
                                                 bool of_failures) {
    Query row(database,
              "SELECT id, step, name, key, channel, frequency, stage, unit FROM rollup_place"
              " WHERE stage = ?1 AND (?2 IS NULL OR step = ?2) AND (?3 IS NULL OR name = ?3)"
              " AND (?4 IS NULL OR key = ?4) AND (?5 IS NULL OR channel = ?5)"
              " AND (?6 IS NULL OR frequency = ?6)");
    const std::optional<int> any;
    row.with(record::name_of(filter.stage), filter.step, filter.check, filter.key,
             of_failures ? any : filter.channel, of_failures ? any : filter.frequency);
    std::map<std::int64_t, CheckPlace> places;
    while (row.next())
        places[row.integer_at(0)] = {row.text_at(1), row.text_at(2), row.text_at(3),
                                     row.at<int>(4), row.at<int>(5), stage_of(row.text_at(6)),
                                     row.text_at(7)};
    return places;
}

auto order_of(const CheckPlace& place) {
    return std::tie(place.step, place.check, place.key, place.channel, place.frequency);
}

// Where each place comes in an answer.
std::map<std::int64_t, std::size_t> order_of(const std::map<std::int64_t, CheckPlace>& places) {
    std::vector<std::int64_t> ids;
    for (const auto& place : places) ids.push_back(place.first);
    std::sort(ids.begin(), ids.end(), [&](std::int64_t a, std::int64_t b) {
        return order_of(places.at(a)) < order_of(places.at(b));
    });
    std::map<std::int64_t, std::size_t> order;
    for (const std::int64_t id : ids) order.emplace(id, order.size());
    return order;
}

std::pair<int, int> wanted_tries(Tries tries) {
    return {tries == Tries::later ? 1 : 0, tries == Tries::first ? 0 : 1};
}

void add_units(record::UnitCounts& counts, Query& row) {
    const auto at = [&](UnitColumn column) {
        return row.at<std::uint32_t>(static_cast<int>(column));
    };
    using enum UnitColumn;
    counts.runs += row.at<std::uint64_t>(0);
    counts.yield =
        counts.yield + record::YieldCount{at(units),           at(first_pass),     at(final_pass),
                                          at(retested),        at(rejected_first), at(recovered),
                                          at(without_verdict), at(retried)};
    record::LotCount& count = counts.count;
    count.pass += at(pass);
    count.fail += at(fail);
    count.inconclusive += at(inconclusive);
    count.no_verdict += at(no_verdict);
    count.removed += at(removed);
    count.loaded = count.pass + count.fail + count.inconclusive + count.no_verdict + count.removed;
}

void add_value(ValueRollup& rollup, Query& row, WithHistogram histogram) {
    const record::VerdictCounts& seen = rollup.verdicts;
    const bool first = seen.pass + seen.fail + seen.inconclusive + seen.no_verdict == 0;
    const std::optional<double> low = row.optional_at(9), high = row.optional_at(10);
    rollup.limits_changed = rollup.limits_changed || row.integer_at(11) > 0 ||
                            (!first && (low != rollup.low || high != rollup.high));
    rollup.low = low;
    rollup.high = high;
    rollup.moments.merge(statistics::Moments::from_parts(row.at<std::uint64_t>(0), row.number_at(1),
                                                         row.number_at(2), row.number_at(3),
                                                         row.number_at(4)));
    rollup.verdicts =
        seen + record::VerdictCounts{row.at<std::uint64_t>(5), row.at<std::uint64_t>(6),
                                     row.at<std::uint64_t>(7), row.at<std::uint64_t>(8)};
    if (histogram == WithHistogram::yes)
        rollup.histogram.merge(unpacked_histogram(row.bytes_at(12)));
}

constexpr const char* unit_rows =
    "SELECT runs, units, first_pass, final_pass, retested, rejected_first, recovered,"
    " without_verdict, pass, fail, inconclusive, no_verdict, removed, retried FROM rollup_units"
    " WHERE scope = ?";
constexpr const char* failure_rows =
    "SELECT place, failed, inconclusive, first_failing, recovered, retried FROM rollup_failure"
    " WHERE scope = ?1 AND later BETWEEN ?2 AND ?3";
// Sketches are left in the file where nobody asks for them; rows that do not match are passed over
// before their columns are looked at.
std::string value_rows(WithHistogram histogram) {
    return std::string(
               "SELECT count, mean, squares, lowest, highest, pass, fail, inconclusive,"
               " no_verdict, low, high, limit_changes, ") +
           (histogram == WithHistogram::yes ? "histogram" : "NULL") +
           ", place FROM rollup_value"
           " WHERE scope = ?1 AND place BETWEEN ?2 AND ?3 AND later BETWEEN ?4 AND ?5";
}

// Ranges of places that together hold all that are wanted: one range where they lie near each
// other, for stepping over a row costs less than a search.
std::vector<std::pair<std::int64_t, std::int64_t>> ranges_of(
    const std::map<std::int64_t, CheckPlace>& wanted) {
    constexpr std::int64_t rows_a_search = 8;
    std::vector<std::pair<std::int64_t, std::int64_t>> ranges;
    for (const auto& [id, place] : wanted) {
        if (!ranges.empty() && id - ranges.back().second <= rows_a_search) {
            ranges.back().second = id;
        } else {
            ranges.emplace_back(id, id);
        }
    }
    return ranges;
}

}  // namespace

RollupReader::Stored<std::vector<UnitRollup>> RollupReader::units(const RollupFilter& filter,
                                                                  RollupBy by) {
    return reader_.state_->ask<std::vector<UnitRollup>>([&](Database& database) {
        demand_filled(database);
        const ScopeList list = scopes_for(database, filter, by);
        std::vector<std::optional<UnitRollup>> found(list.groups.size());
        Query row(database, unit_rows);
        for (const GroupedScope& scope : list.scopes) {
            if (!row.with(scope.scope).next()) continue;
            std::optional<UnitRollup>& rollup = found[scope.group];
            if (!rollup) rollup = UnitRollup{list.groups[scope.group], {}};
            add_units(rollup->counts, row);
        }
        std::vector<UnitRollup> rollups;
        for (auto& rollup : found)
            if (rollup) rollups.push_back(std::move(*rollup));
        return rollups;
    });
}

RollupReader::Stored<std::vector<FailureRollup>> RollupReader::failures(const RollupFilter& filter,
                                                                        const PlaceFilter& places,
                                                                        RollupBy by) {
    return reader_.state_->ask<std::vector<FailureRollup>>([&](Database& database) {
        demand_filled(database);
        const auto wanted = wanted_places(database, places, true);
        const auto [from, to] = wanted_tries(places.tries);
        const ScopeList list = scopes_for(database, filter, by);
        std::map<std::pair<std::size_t, std::int64_t>, record::FailureCounts> found;
        Query row(database, failure_rows);
        for (const GroupedScope& scope : list.scopes) {
            row.with(scope.scope, from, to);
            while (row.next()) {
                if (!wanted.contains(row.integer_at(0))) continue;
                record::FailureCounts& counts = found[{scope.group, row.integer_at(0)}];
                counts = counts +
                         record::FailureCounts{row.at<std::uint64_t>(1), row.at<std::uint64_t>(2),
                                               row.at<std::uint64_t>(3), row.at<std::uint64_t>(4),
                                               row.at<std::uint64_t>(5)};
            }
        }
        std::vector<FailureRollup> rollups;
        for (const auto& [where, counts] : found)
            rollups.push_back({list.groups[where.first], wanted.at(where.second), counts});
        std::sort(rollups.begin(), rollups.end(), [](const auto& a, const auto& b) {
            if (a.group != b.group) return a.group < b.group;
            if (a.counts.first_failing != b.counts.first_failing)
                return a.counts.first_failing > b.counts.first_failing;
            if (a.counts.failed != b.counts.failed) return a.counts.failed > b.counts.failed;
            return order_of(a.place) < order_of(b.place);
        });
        return rollups;
    });
}

RollupReader::Stored<std::vector<ValueRollup>> RollupReader::values(const RollupFilter& filter,
                                                                    const PlaceFilter& places,
                                                                    RollupBy by,
                                                                    WithHistogram histogram) {
    return reader_.state_->ask<std::vector<ValueRollup>>([&](Database& database) {
        demand_filled(database);
        const auto wanted = wanted_places(database, places, false);
        if (wanted.empty()) return std::vector<ValueRollup>();
        const auto [from, to] = wanted_tries(places.tries);
        const ScopeList list = scopes_for(database, filter, by);
        const auto ranges = ranges_of(wanted);
        const auto order = order_of(wanted);
        std::map<std::pair<std::size_t, std::size_t>, ValueRollup> found;
        Query row(database, value_rows(histogram));
        const auto take = [&](std::size_t group) {
            const auto place = wanted.find(row.integer_at(13));
            if (place == wanted.end()) return;
            const auto [rollup, fresh] = found.try_emplace({group, order.at(place->first)});
            if (fresh) {
                rollup->second.group = list.groups[group];
                rollup->second.place = place->second;
            }
            add_value(rollup->second, row, histogram);
        };
        for (const GroupedScope& scope : list.scopes) {
            for (const auto& [first, last] : ranges) {
                row.with(scope.scope, first, last, from, to);
                while (row.next()) take(scope.group);
            }
        }
        std::vector<ValueRollup> rollups;
        rollups.reserve(found.size());
        for (auto& rollup : found) rollups.push_back(std::move(rollup.second));
        return rollups;
    });
}

namespace {

// Columns as they are stored, and those of lots that have none yet out of their runs.
class Streaming {
  public:
    Streaming(Database& database, const PlaceFilter& places)
        : database_(database),
          wanted_(wanted_places(database, places, false)),
          order_(order_of(wanted_)),
          ranges_(ranges_of(wanted_)),
          row_(database,
               "SELECT place, \"values\" FROM rollup_column"
               " WHERE scope = ?1 AND place BETWEEN ?2 AND ?3"),
          open_lots_(lots_without_columns(database)) {}

    void visit(const std::vector<LotScope>& scopes, const RollupReader::VisitValues& visit) {
        for (const LotScope& scope : scopes)
            if (open_lots_.contains(scope.lot))
                visit_runs(scope, visit);
            else
                visit_stored(scope, visit);
    }
    [[nodiscard]] std::vector<CheckPlace> places() const {
        std::vector<CheckPlace> list(order_.size());
        for (const auto& [id, number] : order_) list[number] = wanted_.at(id);
        return list;
    }

  private:
    void visit_stored(const LotScope& scope, const RollupReader::VisitValues& visit) {
        for (const auto& [first, last] : ranges_) {
            row_.with(scope.scope, first, last);
            while (row_.next()) {
                const auto number = order_.find(row_.integer_at(0));
                if (number == order_.end()) continue;
                unpack_values(row_.bytes_at(1), values_);
                visit(number->second, values_);
            }
        }
    }
    void visit_runs(const LotScope& scope, const RollupReader::VisitValues& visit) {
        const auto [lot, fresh] = of_runs_.try_emplace(scope.lot);
        if (fresh) lot->second = columns_of_lot(database_, scope.lot);
        for (auto part = lot->second.lower_bound({scope.scope, 0});
             part != lot->second.end() && part->first.scope == scope.scope; ++part)
            if (const auto number = order_.find(part->first.place); number != order_.end())
                visit(number->second, part->second);
    }

    Database& database_;
    std::map<std::int64_t, CheckPlace> wanted_;
    std::map<std::int64_t, std::size_t> order_;
    std::vector<std::pair<std::int64_t, std::int64_t>> ranges_;
    Query row_;
    std::unordered_set<record::LotId> open_lots_;
    std::map<record::LotId, LotColumns> of_runs_;
    std::vector<double> values_;
};

}  // namespace

RollupReader::Stored<std::vector<CheckPlace>> RollupReader::stream(const RollupFilter& filter,
                                                                   const PlaceFilter& places,
                                                                   const VisitValues& visit) {
    return reader_.state_->ask<std::vector<CheckPlace>>([&](Database& database) {
        demand_filled(database);
        Streaming streaming(database, places);
        streaming.visit(lot_scopes_for(database, filter), visit);
        return streaming.places();
    });
}

RollupReader::Stored<record::ShiftHours> RollupReader::shift_hours(const std::string& station) {
    return reader_.state_->ask<record::ShiftHours>([&](Database& database) {
        Query id(database, "SELECT id FROM station WHERE name = ?");
        if (!id.with(station).next()) return record::ShiftHours{};
        return rows::shift_hours(database, id.integer_at(0), std::nullopt, std::nullopt);
    });
}

}  // namespace padtrim::ledger
