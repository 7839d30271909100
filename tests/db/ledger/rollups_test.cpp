// Rollups kept run by run, against those made anew and against the ledger's own rows.
#include <bit>

#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>

#include "db/ledger/migrations.hpp"
#include "db/ledger/rollup_reader.hpp"
#include "db/ledger/verify_records.hpp"
#include "tests/db/ledger/open_ledger.hpp"
#include "tests/db/ledger/random_lots.hpp"

namespace padtrim::ledger {
namespace {

using record::Stage;
using record::Verdict;

// Every row with every bit of its numbers.
std::vector<std::string> rollup_rows(const std::string& path, const std::string& query) {
    SQLite::Database tool(path, SQLite::OPEN_READONLY);
    SQLite::Statement row(tool, query);
    std::vector<std::string> rows;
    while (row.executeStep()) {
        std::string& text = rows.emplace_back();
        for (int i = 0; i < row.getColumnCount(); ++i) {
            const SQLite::Column column = row.getColumn(i);
            text += column.isFloat()
                        ? std::to_string(std::bit_cast<std::uint64_t>(column.getDouble()))
                        : column.getString();
            text += column.isNull() ? "~" : "|";
        }
    }
    return rows;
}

const std::vector<std::string> fact_tables = {
    "SELECT * FROM rollup_units ORDER BY scope",
    "SELECT * FROM rollup_failure ORDER BY scope, place, later",
    "SELECT * FROM rollup_value ORDER BY scope, place, later",
    "SELECT * FROM rollup_scope ORDER BY id",
    "SELECT * FROM rollup_origin ORDER BY id",
    "SELECT * FROM rollup_place ORDER BY id",
    "SELECT * FROM rollup_column ORDER BY scope, place",
    "SELECT * FROM rollup_column_lot ORDER BY lot",
};

class Rollups : public OpenLedger {
  protected:
    void fill(std::uint64_t seed, int lots = 8, int acts = 30) {
        RandomLots(context_, *ledger_, seed).fill(lots, acts);
    }
    std::vector<UnitRollup> units(const RollupFilter& filter, RollupBy by) {
        return RollupReader(*reader_).units(filter, by).value();
    }
    std::vector<ValueRollup> values(const RollupFilter& filter, const PlaceFilter& places,
                                    RollupBy by) {
        return RollupReader(*reader_).values(filter, places, by, WithHistogram::yes).value();
    }
    std::vector<FailureRollup> failures(const RollupFilter& filter, const PlaceFilter& places,
                                        RollupBy by) {
        return RollupReader(*reader_).failures(filter, places, by).value();
    }
};

TEST_F(Rollups, KeptRunByRunHaveEveryBitOfThoseMadeAnew) {
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
        SCOPED_TRACE(seed);
        fill(seed);
        std::vector<std::vector<std::string>> kept;
        for (const std::string& query : fact_tables) kept.push_back(rollup_rows(path_, query));
        ASSERT_GT(kept[0].size(), 50U);
        ASSERT_TRUE(run(ledger_->rebuild_rollups()));
        for (std::size_t i = 0; i < fact_tables.size(); ++i)
            EXPECT_EQ(rollup_rows(path_, fact_tables[i]), kept[i]) << fact_tables[i];
    }
}

// The same values as the rollups count, whether their lots are closed, open, or opened again.
TEST_F(Rollups, StreamTheValuesThatTheyCount) {
    for (std::uint64_t seed = 11; seed <= 13; ++seed) {
        SCOPED_TRACE(seed);
        fill(seed);
        const auto lots = units({}, RollupBy::lot);
        ASSERT_GT(lots.size(), 2U);
        std::vector<RollupFilter> filters(3);
        filters[1].nest = 2;
        filters[2].lot = lots[2].group.lot;
        for (const auto& filter : filters) {
            SCOPED_TRACE(filter.nest ? "a nest" : filter.lot ? "a lot" : "all");
            std::map<std::size_t, statistics::Moments> streamed;
            const auto places = RollupReader(*reader_).stream(
                filter, {}, [&](std::size_t place, std::span<const double> some) {
                    for (const double value : some) streamed[place].add(value);
                });
            ASSERT_TRUE(places);
            std::size_t with_values = 0;
            for (const ValueRollup& row : values(filter, {}, RollupBy::everything)) {
                const auto at = std::find(places->begin(), places->end(), row.place);
                ASSERT_NE(at, places->end());
                const auto& moments = streamed[static_cast<std::size_t>(at - places->begin())];
                ASSERT_EQ(moments.count(), row.moments.count()) << row.place.check;
                if (moments.count() == 0) continue;
                ++with_values;
                EXPECT_NEAR(*moments.mean(), *row.moments.mean(), 1e-9);
                EXPECT_EQ(*moments.lowest(), *row.moments.lowest());
                EXPECT_EQ(*moments.highest(), *row.moments.highest());
            }
            EXPECT_GT(with_values, 0U);
        }
    }
    const auto closed = rollup_rows(path_, "SELECT lot FROM rollup_column_lot");
    EXPECT_GT(closed.size(), 0U);
    EXPECT_LT(closed.size(), rollup_rows(path_, "SELECT id FROM lot").size())
        << "some are open: the test goes both ways";
}

TEST_F(Rollups, StreamARunThatEndedAfterItsLotWasClosed) {
    const auto lot = run(ledger_->open_lot(support::sample_lot("L-1"))).value();
    const auto late = run(ledger_->start_run(support::sample_run(lot, "A1"))).value();
    ASSERT_TRUE(run(ledger_->close_lot(lot, support::at_second(90))));
    ASSERT_TRUE(run(ledger_->finish(late, support::sample_unit())));
    const auto columns = rollup_rows(path_, fact_tables[6]);
    EXPECT_GT(columns.size(), 0U);
    ASSERT_TRUE(run(ledger_->rebuild_rollups()));
    EXPECT_EQ(rollup_rows(path_, fact_tables[6]), columns);
}

TEST_F(Rollups, MadeAnewMendRowsThatWereDamaged) {
    fill(5, 3);
    const auto sound = rollup_rows(path_, fact_tables[2]);
    SQLite::Database(path_, SQLite::OPEN_READWRITE)
        .exec("UPDATE rollup_value SET mean = 1, histogram = x'FF'; DELETE FROM rollup_units");
    const auto damaged =
        RollupReader(*reader_).values({}, {}, RollupBy::everything, WithHistogram::yes);
    ASSERT_FALSE(damaged);
    EXPECT_THAT(damaged.error().what, testing::HasSubstr("damaged histogram"));
    ASSERT_TRUE(run(ledger_->rebuild_rollups()));
    EXPECT_EQ(rollup_rows(path_, fact_tables[2]), sound);
}

TEST_F(Rollups, OfALedgerOfBeforeThemAreFilledWhenItIsOpened) {
    fill(6);
    const std::string old_path = folder_.file("old.ledger");
    {
        SQLite::Database old(old_path, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        ASSERT_TRUE(migrate(old, embedded_migrations().first(5), old_path));
        old.exec("ATTACH '" + path_ + "' AS new");
        SQLite::Statement table(old,
                                "SELECT name FROM main.sqlite_schema WHERE type = 'table'"
                                " AND name NOT LIKE 'sqlite_%' AND name <> 'schema_version'");
        std::vector<std::string> names;
        while (table.executeStep()) names.push_back(table.getColumn(0));
        for (const std::string& name : names)
            old.exec("INSERT INTO main." + name + " SELECT * FROM new." + name);
    }
    EXPECT_FALSE(Reader::open(old_path)) << "a reader cannot read an older schema";
    ASSERT_TRUE(Ledger::open(old_path, context_.get_executor(), Writing::inline_calls));
    const ChainReport chain = verify_records(old_path).value();
    EXPECT_TRUE(chain.sound());
    EXPECT_EQ(chain.before, std::ssize(rollup_rows(path_, "SELECT run FROM run_end")));
    EXPECT_EQ(chain.runs, 0) << "the chain begins here, and says so";
    // Shift hours were not kept then, so that only what does not name shifts is the same.
    auto old = std::move(Reader::open(old_path).value());
    for (const RollupBy by : {RollupBy::everything, RollupBy::lot, RollupBy::nest}) {
        const auto before = units({}, by);
        const auto after = RollupReader(*old).units({}, by).value();
        ASSERT_EQ(before.size(), after.size());
        for (std::size_t i = 0; i < before.size(); ++i) {
            EXPECT_EQ(before[i].group, after[i].group);
            EXPECT_EQ(before[i].counts, after[i].counts);
        }
    }
}

TEST_F(Rollups, CountUnitsAsTheTriesSay) {
    fill(7);
    for (const bool drafts : {false, true}) {
        for (const bool measure_only : {false, true}) {
            RollupFilter filter;
            filter.drafts = drafts;
            filter.measure_only = measure_only;
            YieldFilter same;
            same.drafts = drafts;
            same.measure_only = measure_only;
            for (const auto& row : units(filter, RollupBy::station)) {
                same.station = row.group.station;
                const auto expected = reader_->yield(same, YieldBy::everything).value();
                ASSERT_EQ(expected.size(), 1U);
                EXPECT_EQ(row.counts.yield, expected[0].count);
            }
            same.station.reset();
            for (const auto& row : units(filter, RollupBy::recipe_revision)) {
                same.recipe_revision = row.group.recipe_revision;
                EXPECT_EQ(row.counts.yield,
                          reader_->yield(same, YieldBy::everything).value()[0].count);
            }
        }
    }
}

TEST_F(Rollups, ReconcileEveryLot) {
    fill(8, 12);
    std::size_t compared = 0;
    for (const LotSummary& lot : reader_->lots().value()) {
        RollupFilter filter;
        filter.lot = lot.name;
        filter.station = lot.station;
        filter.measure_only = lot.measure_only;
        filter.drafts = true;
        const auto rollup = units(filter, RollupBy::everything);
        ASSERT_EQ(rollup.size(), 1U);
        EXPECT_EQ(rollup[0].counts.count, lot.count) << lot.name;
        ++compared;
    }
    EXPECT_GT(compared, 6U);
}

// Merged from months, days and lots, every way of asking must give the same units.
TEST_F(Rollups, AreTheSameHoweverTheyArePutTogether) {
    fill(9, 10);
    const auto sum = [](const std::vector<UnitRollup>& rows) {
        record::UnitCounts total;
        for (const UnitRollup& row : rows) {
            total.runs += row.counts.runs;
            total.yield = total.yield + row.counts.yield;
            total.count.removed += row.counts.count.removed;
        }
        return total;
    };
    const auto days = units({}, RollupBy::day);
    ASSERT_GT(days.size(), 20U);
    for (std::size_t i = 0; i < days.size(); i += 7) {
        for (std::size_t j = i; j < days.size(); j += 11) {
            RollupFilter part;
            part.since = days[i].group.day;
            part.until = *days[j].group.day + std::chrono::days(1);
            const auto expected = sum({days.begin() + i, days.begin() + j + 1});
            for (const RollupBy by :
                 {RollupBy::everything, RollupBy::station, RollupBy::lot, RollupBy::product,
                  RollupBy::nest, RollupBy::shift, RollupBy::shift_of_day, RollupBy::month})
                EXPECT_EQ(sum(units(part, by)), expected) << static_cast<int>(by);
        }
    }
}

struct Direct {
    std::vector<double> numbers;
    record::VerdictCounts verdicts;
};

// Values of tries, straight from the rows of the runs.
std::map<std::string, Direct> direct_values(SQLite::Database& tool, const std::string& station,
                                            const std::string& stage) {
    SQLite::Statement row(
        tool,
        "SELECT check_result.name || check_result.channel, check_result.value, check_result.verdict"
        " FROM ending JOIN run ON run.id = ending.run JOIN run_end ON run_end.run = run.id"
        " JOIN check_result ON check_result.run = run.id JOIN lot ON lot.id = run.lot"
        " JOIN station ON station.id = lot.station"
        " WHERE run_end.verdict <> 'no verdict' AND lot.measure_only = 0 AND station.name = ?"
        " AND check_result.stage = ? AND NOT EXISTS (SELECT 1 FROM opening_permission"
        "  WHERE opening = run.opening AND kind = 'draft')"
        " AND NOT EXISTS (SELECT 1 FROM run AS other JOIN run_end AS end ON end.run = other.id"
        "  JOIN ending AS before ON before.run = other.id WHERE other.lot = run.lot"
        "  AND other.serial = run.serial AND run.serial <> '' AND end.verdict <> 'no verdict'"
        "  AND before.sequence < ending.sequence) ORDER BY ending.sequence");
    row.bind(1, station);
    row.bind(2, stage);
    std::map<std::string, Direct> found;
    while (row.executeStep()) {
        Direct& direct = found[row.getColumn(0).getString()];
        if (!row.getColumn(1).isNull()) direct.numbers.push_back(row.getColumn(1).getDouble());
        const std::string verdict = row.getColumn(2).getString();
        direct.verdicts.pass += verdict == "pass" ? 1 : 0;
        direct.verdicts.fail += verdict == "fail" ? 1 : 0;
        direct.verdicts.inconclusive += verdict == "inconclusive" ? 1 : 0;
        direct.verdicts.no_verdict += verdict == "no verdict" ? 1 : 0;
    }
    return found;
}

TEST_F(Rollups, HoldTheValuesOfEachUnitsFirstTryFoundApartFromLeft) {
    fill(10, 10);
    SQLite::Database tool(path_, SQLite::OPEN_READONLY);
    for (const Stage stage : {Stage::as_found, Stage::as_left}) {
        RollupFilter filter;
        filter.station = "S1";
        PlaceFilter places;
        places.stage = stage;
        const auto found = values(filter, places, RollupBy::everything);
        const auto expected = direct_values(tool, "S1", std::string(record::name_of(stage)));
        ASSERT_EQ(found.size(), expected.size());
        ASSERT_GE(found.size(), 4U);
        for (const ValueRollup& row : found) {
            const Direct& direct = expected.at(row.place.check + std::to_string(row.place.channel));
            EXPECT_EQ(row.verdicts, direct.verdicts);
            const auto moments = statistics::Moments::of(direct.numbers);
            ASSERT_EQ(row.moments.count(), moments.count());
            EXPECT_NEAR(row.moments.mean().value(), moments.mean().value(), 1e-10);
            EXPECT_NEAR(row.moments.variance().value(), moments.variance().value(), 1e-7);
            EXPECT_EQ(row.moments.lowest().value(), moments.lowest().value());
            EXPECT_EQ(row.moments.highest().value(), moments.highest().value());
            statistics::Histogram histogram;
            for (const double value : direct.numbers) histogram.add(value);
            EXPECT_EQ(row.histogram, histogram);
            EXPECT_TRUE(row.limits_changed);
        }
    }
}

TEST_F(Rollups, ShowPeopleTheSameWithNames) {
    fill(11, 6);
    SQLite::Database tool(path_, SQLite::OPEN_READONLY);
    for (const std::string family : {"lot", "day", "month"}) {
        EXPECT_EQ(
            tool.execAndGet("SELECT sum(runs) FROM unit_rollup WHERE family = '" + family + "'")
                .getInt(),
            tool.execAndGet("SELECT count(*) FROM run_end").getInt());
        EXPECT_GT(tool.execAndGet("SELECT count(*) FROM value_rollup WHERE variance > 0"
                                  " AND key = 'K1' AND family = '" +
                                  family + "'")
                      .getInt(),
                  0);
    }
    std::uint32_t shown = 0, counted = 0;
    SQLite::Statement row(tool, "SELECT sum(units) FROM yield_by_day");
    if (row.executeStep()) shown = row.getColumn(0).getUInt();
    for (const auto& each : units({}, RollupBy::everything)) counted = each.counts.yield.units;
    EXPECT_EQ(shown, counted);
    EXPECT_GT(shown, 10U);
}

// Numbers by hand: A fails at K2 first (and at K1), then passes; B fails at K1 twice; C has no
// verdict, then passes.
class SmallRollup : public Rollups {
  protected:
    void try_unit(const std::string& serial, std::uint16_t nest, Verdict verdict,
                  const std::vector<std::string>& failing) {
        const auto id = run(ledger_->start_run(support::sample_run(lot_, serial, nest))).value();
        record::UnitRecord unit = support::sample_unit(verdict);
        unit.write_stage = record::WriteStage::untouched;
        unit.result.checks.resize(1);
        record::CheckResult check = unit.result.checks[0];
        unit.result.checks.clear();
        for (const std::string& key : failing) {
            check.key = key;
            check.stage = Stage::as_found;
            check.verdict = Verdict::fail;
            for (check.channel = 0; check.channel < 2; ++check.channel)
                unit.result.checks.push_back(check);
        }
        run(ledger_->finish(id, unit)).value();
    }
    const record::LotId lot_ = run(ledger_->open_lot(support::sample_lot())).value();
};

TEST_F(SmallRollup, TellsTheFirstFailingCheckFromTheRestAndWhatWasRecovered) {
    try_unit("A", 1, Verdict::fail, {"K2", "K1"});
    try_unit("B", 2, Verdict::fail, {"K1"});
    try_unit("C", 2, Verdict::no_verdict, {"K1"});
    try_unit("A", 2, Verdict::pass, {});
    try_unit("B", 1, Verdict::fail, {"K1"});
    try_unit("C", 1, Verdict::pass, {});

    const auto first = failures({}, {}, RollupBy::everything);
    ASSERT_EQ(first.size(), 2U);
    EXPECT_EQ(first[0].place.key, "K1");
    EXPECT_EQ(first[0].counts, (record::FailureCounts{2, 0, 1, 0, 1}));
    EXPECT_EQ(first[1].place.key, "K2");
    EXPECT_EQ(first[1].counts, (record::FailureCounts{1, 0, 1, 1, 1}));
    PlaceFilter later;
    later.tries = Tries::later;
    const auto again = failures({}, later, RollupBy::everything);
    ASSERT_EQ(again.size(), 1U);
    EXPECT_EQ(again[0].counts, (record::FailureCounts{1, 0, 1, 0}));

    const auto nests = units({}, RollupBy::nest);
    ASSERT_EQ(nests.size(), 2U);
    EXPECT_EQ(nests[0].group.nest, 1);
    EXPECT_EQ(nests[0].counts.yield, (record::YieldCount{1, 0, 1, 1, 1, 1, 0, 1}));
    // C belongs to nest 2, where it was run first.
    EXPECT_EQ(nests[1].counts.yield, (record::YieldCount{2, 1, 1, 1, 1, 0, 0, 1}));
    EXPECT_EQ(nests[1].counts.runs, 4U);

    // A later failure takes the recovery back.
    try_unit("A", 1, Verdict::fail, {"K1"});
    EXPECT_EQ(failures({}, {}, RollupBy::everything)[1].counts.recovered, 0U);
}

TEST_F(SmallRollup, PutsANightAfterMidnightIntoTheShiftThatBeganBeforeIt) {
    run(ledger_->set_shift_hours(
            {"S1", "planner", "as agreed", support::at_second(0), {{120, 720}}}))
        .value();
    record::RunStart early = support::sample_run(lot_, "N");
    early.at = support::at_second(119 * 60);
    const auto id = run(ledger_->start_run(early)).value();
    run(ledger_->finish(id,
                        [] {
                            auto unit = support::sample_unit();
                            unit.write_stage = record::WriteStage::untouched;
                            return unit;
                        }()))
        .value();
    const auto rows = units({}, RollupBy::shift_of_day);
    ASSERT_EQ(rows.size(), 1U);
    EXPECT_EQ(rows[0].group.shift, 2);
    const std::chrono::sys_days today = std::chrono::floor<std::chrono::days>(early.at);
    EXPECT_EQ(rows[0].group.day, today - std::chrono::days(1));
    EXPECT_EQ(units({}, RollupBy::day)[0].group.day, today);
    EXPECT_EQ(RollupReader(*reader_).shift_hours("S1").value().begins, (std::vector{120, 720}));
    EXPECT_EQ(RollupReader(*reader_).shift_hours("S9").value(), record::ShiftHours{});
}

TEST_F(SmallRollup, RefusesShiftHoursThatAreNone) {
    for (const std::vector<int>& hours : {std::vector<int>{}, {-1}, {1440}, {60, 60}, {120, 60}}) {
        const auto refused =
            run(ledger_->set_shift_hours({"S1", "p", "w", support::at_second(0), {hours}}));
        ASSERT_FALSE(refused);
        EXPECT_THAT(refused.error().what, testing::HasSubstr("ascending minutes"));
    }
    EXPECT_FALSE(run(ledger_->set_shift_hours({"S1", "", "w", support::at_second(0), {{60}}})));
}

}  // namespace
}  // namespace padtrim::ledger
