// The rows of a RollupBook: read when they are first needed, written at flush().
#include <tuple>

#include "db/ledger/packed_histogram.hpp"
#include "db/ledger/rollup_book.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

// Some megabytes: the rows that eight nests change in some shifts.
constexpr std::size_t most_rows = 4096;

template <class Rows>
void forget_when_many(Rows& rows) {
    rows.changed.clear();
    if (rows.all.size() > most_rows) rows.all.clear();
}

}  // namespace

UnitDelta& RollupBook::unit_row(std::int64_t scope) {
    units_.changed.insert(scope);
    const auto [place, fresh] = units_.all.try_emplace(scope, UnitDelta{});
    if (!fresh) return place->second;
    if (!read_units_.with(scope).next()) return place->second;
    for (std::size_t i = 0; i < unit_columns; ++i)
        place->second[i] = read_units_.integer_at(static_cast<int>(i));
    return place->second;
}

record::FailureCounts& RollupBook::failure_row(const FactKey& key) {
    failures_.changed.insert(key);
    const auto [place, fresh] = failures_.all.try_emplace(key);
    if (!fresh) return place->second;
    if (!read_failure_.with(key.scope, key.place, key.later).next()) return place->second;
    place->second = {read_failure_.at<std::uint64_t>(0), read_failure_.at<std::uint64_t>(1),
                     read_failure_.at<std::uint64_t>(2), read_failure_.at<std::uint64_t>(3),
                     read_failure_.at<std::uint64_t>(4)};
    return place->second;
}

RollupBook::ValueRow& RollupBook::value_row(const FactKey& key) {
    values_.changed.insert(key);
    const auto [place, fresh] = values_.all.try_emplace(key);
    ValueRow& value = place->second;
    Query& row = read_value_;
    if (!fresh || !row.with(key.scope, key.place, key.later).next()) return value;
    value.moments =
        statistics::Moments::from_parts(row.at<std::uint64_t>(0), row.number_at(1),
                                        row.number_at(2), row.number_at(3), row.number_at(4));
    value.verdicts = {row.at<std::uint64_t>(5), row.at<std::uint64_t>(6), row.at<std::uint64_t>(7),
                      row.at<std::uint64_t>(8)};
    value.low = row.optional_at(9);
    value.high = row.optional_at(10);
    value.limit_changes = row.integer_at(11);
    value.histogram = unpacked_histogram(row.bytes_at(12));
    return value;
}

void RollupBook::flush_units() {
    Query write(database_,
                "INSERT OR REPLACE INTO rollup_units VALUES"
                " (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    Query remove(database_, "DELETE FROM rollup_units WHERE scope = ?");
    for (const std::int64_t scope : units_.changed) {
        const UnitDelta& row = units_.all.at(scope);
        // A set-aside unit that was run in the end may leave nothing behind.
        if (row == UnitDelta{}) {
            remove.with(scope).run();
        } else {
            std::apply([&](auto... columns) { write.with(scope, columns...).run(); }, row);
        }
    }
    forget_when_many(units_);
}

void RollupBook::flush_failures() {
    Query write(database_, "INSERT OR REPLACE INTO rollup_failure VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
    for (const FactKey& key : failures_.changed) {
        const record::FailureCounts& row = failures_.all.at(key);
        write
            .with(key.scope, key.place, key.later, row.failed, row.inconclusive, row.first_failing,
                  row.recovered, row.retried)
            .run();
    }
    forget_when_many(failures_);
}

void RollupBook::flush_values() {
    Query write(database_,
                "INSERT OR REPLACE INTO rollup_value VALUES"
                " (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    for (const FactKey& key : values_.changed) {
        const ValueRow& row = values_.all.at(key);
        const statistics::Moments::Parts moments = row.moments.parts();
        const record::VerdictCounts& verdicts = row.verdicts;
        write
            .with(key.scope, key.place, key.later, moments.count, moments.mean, moments.squares,
                  moments.lowest, moments.highest, verdicts.pass, verdicts.fail,
                  verdicts.inconclusive, verdicts.no_verdict, row.low, row.high, row.limit_changes,
                  packed(row.histogram))
            .run();
    }
    forget_when_many(values_);
}

void RollupBook::flush() {
    if (!units_.changed.empty()) flush_units();
    if (!failures_.changed.empty()) flush_failures();
    if (!values_.changed.empty()) flush_values();
    for (Query* query : {&read_units_, &read_failure_, &read_value_, &read_place_}) query->rest();
}

}  // namespace padtrim::ledger
