// Stored lots of the virtual bench judged again.
#include "station/answers/rejudge.hpp"

#include <fstream>
#include <iterator>

#include <boost/json/array.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/station/answers/bench_ledger.hpp"
#include "tests/station/answers/stored_lot.hpp"

namespace padtrim::answers {
namespace {

using record::Verdict;
using test_support::BenchLedger;
using ::testing::HasSubstr;

bench::BenchOptions mixed_units() {
    bench::BenchOptions options;
    options.units = 10;
    options.seed = 11;
    options.defects.placed = {{3, bench::DefectKind::thick_glue, std::uint16_t{2}},
                              {5, bench::DefectKind::dead_channel, std::uint16_t{4}},
                              {8, bench::DefectKind::trims_lost_at_power_off, std::uint16_t{0}}};
    return options;
}

// One lot for all tests: it takes a while to run.
BenchLedger& mixed_lot() {
    static BenchLedger ledger;
    static const bool run = [] {
        ledger.run("mixed", mixed_units());
        ledger.run("measured", mixed_units(), true);
        return true;
    }();
    (void)run;
    return ledger;
}

template <class Body>
Body& body_of_step(language::Recipe& recipe) {
    for (auto& step : recipe.steps)
        if (auto* body = std::get_if<Body>(&step.body)) return *body;
    throw std::logic_error("no such step");
}

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

Rejudged judged(BenchLedger& ledger, RejudgeWish wish = {}) {
    const auto reader = ledger.reader();
    return rejudge(*reader, wish, {}).value();
}

TEST(Rejudge, ReproducesEveryStoredResultToTheBit) {
    const Rejudged answer = judged(mixed_lot());
    EXPECT_EQ(answer.runs, 10U);
    EXPECT_EQ(answer.same, 10U) << (answer.changed.empty() ? "" : answer.changed[0].what);
    EXPECT_EQ(answer.unexplained, 0U);
    EXPECT_TRUE(answer.changed.empty());
    EXPECT_EQ(answer.stored.final_pass, 7U);
    EXPECT_EQ(answer.now.final_pass, 7U);
    EXPECT_GT(answer.limit_checks, 1000U);
}

TEST(Rejudge, ReproducesRunsThatOnlyMeasured) {
    RejudgeWish wish;
    wish.filter.measure_only = true;
    const auto runs = mixed_lot().reader()->runs(wish.filter).value().size();
    const Rejudged answer = judged(mixed_lot(), wish);
    EXPECT_GE(runs, 8U);
    EXPECT_EQ(answer.runs, runs);
    EXPECT_EQ(answer.same, runs) << (answer.changed.empty() ? "" : answer.changed[0].what);
}

TEST(Rejudge, NeverWrites) {
    BenchLedger& ledger = mixed_lot();
    const std::string before = bytes_of(ledger.file());
    RejudgeWish wish;
    wish.recipe = ledger.plan().recipe;
    (void)judged(ledger, wish);
    EXPECT_EQ(bytes_of(ledger.file()), before);
}

// Whether a unit's gain at a key would pass is worked out here from the stored values.
TEST(Rejudge, SaysWhatTighterLimitsWouldHaveCost) {
    BenchLedger& ledger = mixed_lot();
    RejudgeWish wish;
    wish.recipe = ledger.plan().recipe;
    wish.recipe->decision.kind = language::DecisionKind::simple;
    auto& gain = body_of_step<language::GainOffsetStep>(*wish.recipe).gain;
    gain.low = CountsPerPicofarad(395.0);
    gain.high = CountsPerPicofarad(1000.0);
    const Rejudged answer = judged(ledger, wish);

    const auto reader = ledger.reader();
    std::vector<record::RunId> runs;
    for (const auto& run : reader->runs({}).value()) runs.push_back(run.run);
    std::map<std::string, std::map<record::RunId, bool>> low;  // key, unit
    std::map<record::RunId, bool> any;
    for (const auto& each : reader->check_values(runs, {"gain"}, record::Stage::as_found).value()) {
        low[each.key][each.unit] |= each.value < 395.0;
        any[each.unit] |= each.value < 395.0;
    }
    int lines = 0;
    for (const CheckYield& line : answer.checks) {
        if (line.check != "gain") continue;
        ++lines;
        const auto failing = std::count_if(low[line.key].begin(), low[line.key].end(),
                                           [](const auto& unit) { return unit.second; });
        EXPECT_EQ(line.fail, static_cast<std::uint32_t>(failing)) << line.key;
        EXPECT_EQ(line.pass + line.fail, line.units);
    }
    EXPECT_EQ(lines, 8);
    EXPECT_LT(answer.now.final_pass, answer.stored.final_pass);
    EXPECT_GT(std::count_if(any.begin(), any.end(), [](const auto& u) { return u.second; }), 0);
}

TEST(Rejudge, CallsAUnitOpenThatWasStoppedBeforeItsEnd) {
    BenchLedger& ledger = mixed_lot();
    RejudgeWish wish;
    wish.recipe = ledger.plan().recipe;
    body_of_step<language::ContactStep>(*wish.recipe).contact.low = Percent(-50.0);
    const Rejudged answer = judged(ledger, wish);
    EXPECT_EQ(answer.now.final_pass, 7U);
    EXPECT_EQ(answer.now.final_open, 1U);
    ASSERT_EQ(answer.changed.size(), 1U);
    EXPECT_TRUE(answer.changed[0].open);
    EXPECT_EQ(answer.changed[0].stored, Verdict::fail);
}

TEST(Rejudge, AnswersTheSameFromStoredValuesAsFromObservations) {
    BenchLedger& ledger = mixed_lot();
    for (const double low : {380.0, 395.0, 399.3}) {
        for (const auto kind : {language::DecisionKind::simple, language::DecisionKind::guarded}) {
            RejudgeWish wish;
            wish.recipe = ledger.plan().recipe;
            wish.recipe->decision.kind = kind;
            body_of_step<language::GainOffsetStep>(*wish.recipe).gain.low = CountsPerPicofarad(low);
            body_of_step<language::NoiseStep>(*wish.recipe).noise.high = Counts(2.0);
            const Rejudged quick = judged(ledger, wish);
            wish.use_values = false;
            Rejudged full = judged(ledger, wish);
            EXPECT_EQ(full.from_values, 0U);
            EXPECT_GT(quick.from_values, 0U);
            EXPECT_EQ(quick.limit_checks, full.limit_checks);
            full.from_values = quick.from_values;
            full.same = quick.same;  // counted where judged in full only
            EXPECT_EQ(text_of(to_json(quick)), text_of(to_json(full)));
        }
    }
}

TEST(Rejudge, LeavesRunsOfAnotherProductOut) {
    BenchLedger& ledger = mixed_lot();
    RejudgeWish wish;
    wish.recipe = ledger.plan().recipe;
    wish.recipe->product = "Another Panel";
    const Rejudged answer = judged(ledger, wish);
    EXPECT_EQ(answer.runs, 0U);
    EXPECT_EQ(answer.other_product, 10U);
}

TEST(Rejudge, LeavesRunsOutWhoseFixtureLacksAReferenceThatTheRecipeNames) {
    const std::string path = std::string(PADTRIM_SOURCE_DIR) + "/recipes/examples/hob-panel-8.toml";
    std::string text = bytes_of(path);
    const auto misfits_of = [&](const std::string& recipe) {
        RejudgeWish wish;
        wish.recipe = language::read_recipe(recipe, path, &language::text_of_file).value;
        wish.misfits = [&](const language::Plan& plan) {
            return language::misfits(recipe, path, &language::text_of_file, plan);
        };
        return judged(mixed_lot(), wish);
    };
    EXPECT_EQ(misfits_of(text).unfit, 0U);
    const auto at = text.find("\"R3\"");
    ASSERT_NE(at, std::string::npos);
    text.replace(at, 4, "\"R9\"");
    const Rejudged answer = misfits_of(text);
    EXPECT_EQ(answer.runs, 0U);
    EXPECT_EQ(answer.unfit, 10U);
    ASSERT_EQ(answer.misfits.size(), 1U) << "each plan's misfits once";
    EXPECT_THAT(answer.misfits[0].message, HasSubstr("R9"));
}

TEST(Rejudge, GoesOverRunsOfTheStatedTimeOnly) {
    BenchLedger& ledger = mixed_lot();
    const auto begun = ledger.reader()->runs({}).value().front().started;
    RejudgeWish wish;
    wish.filter.since = begun + std::chrono::hours(24);
    EXPECT_EQ(judged(ledger, wish).runs, 0U);
    wish.filter.since = begun;
    wish.filter.until = begun + std::chrono::hours(24);
    std::vector<std::size_t> seen;
    const auto reader = ledger.reader();
    const auto answer = rejudge(*reader, wish, [&](std::size_t done, std::size_t total) {
        seen.push_back(done);
        EXPECT_EQ(total, 10U);
    });
    EXPECT_EQ(answer.value().runs, 10U);
    EXPECT_EQ(seen.size(), 10U);
    EXPECT_EQ(seen.back(), 10U);
}

// A result that its observations do not give: the sample's plan and observations are made up.
TEST(Rejudge, SaysWhereARecordDoesNotFollowFromItsObservations) {
    BenchLedger ledger;
    bench::BenchOptions options;
    options.units = 1;
    ledger.run("one", options);
    const auto stored = ledger.reader()->stored_run(1).value().value();
    {
        boost::asio::io_context context;
        const auto store = std::move(ledger::Ledger::open(ledger.file(), context.get_executor(),
                                                          ledger::Writing::inline_calls)
                                         .value());
        record::LotStart start = support::sample_lot();
        start.plan_hash = stored.summary.plan_hash;
        start.plan_text = stored.plan_text;
        start.product = stored.summary.product;
        const auto lot = support::await(context, store->open_lot(start)).value();
        const auto run = support::await(context, store->start_run(support::sample_run(lot, "X")));
        record::UnitRecord unit;
        unit.observations = *stored.observations;
        unit.result = stored.result;
        unit.result.checks.at(4).value += 1e-9;
        ASSERT_TRUE(support::await(context, store->finish(run.value(), unit)));
    }
    const Rejudged answer = judged(ledger);
    EXPECT_EQ(answer.runs, 2U);
    EXPECT_EQ(answer.unexplained, 1U);
    ASSERT_EQ(answer.changed.size(), 1U);
    EXPECT_EQ(answer.changed[0].serial, "X");
    EXPECT_THAT(answer.changed[0].what, HasSubstr(stored.result.checks.at(4).check));
}

TEST(Rejudge, LeavesOutPlansThatItCannotRead) {
    test_support::StoredLot lot;  // its plan is no plan
    lot.unit("A", Verdict::pass);
    const auto answer = rejudge(lot.reader(), {}, {}).value();
    EXPECT_EQ(answer.unreadable, 1U);
    EXPECT_EQ(answer.runs, 0U);
}

TEST(Rejudge, AnswersAsJson) {
    const auto json = to_json(judged(mixed_lot()));
    EXPECT_EQ(json.at("same").to_number<int>(), 10);
    EXPECT_GT(json.at("checks").as_array().size(), 20U);
    EXPECT_EQ(json.at("now").at("final_pass").to_number<int>(), 7);
}

}  // namespace
}  // namespace padtrim::answers
