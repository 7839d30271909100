// So many same failures in a row on one nest: it calls for help, and a person decides.
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/engine/nest_run.hpp"
#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::engine::testing {
namespace {

using ::testing::HasSubstr;

record::UnitResult failed_on(const std::string& check) {
    record::UnitResult result;
    result.verdict = record::Verdict::fail;
    result.reason = check + " is off.";
    record::CheckResult good, bad;
    good.check = "identity";
    good.verdict = record::Verdict::pass;
    bad.check = check;
    bad.verdict = record::Verdict::fail;
    result.checks = {good, bad};
    return result;
}
record::UnitResult with(record::Verdict verdict) {
    record::UnitResult result;
    result.verdict = verdict;
    return result;
}

TEST(SameFailures, CountTheSameCheckInARow) {
    SameFailures same;
    same.add(failed_on("gain"));
    same.add(failed_on("gain"));
    EXPECT_EQ(same.count, 2U);
    same.add(failed_on("noise"));
    EXPECT_EQ(same.count, 1U);
    EXPECT_EQ(same.reason, "noise is off.");
    same.add(with(record::Verdict::no_verdict));  // says nothing of the unit
    EXPECT_EQ(same.count, 1U);
    same.add(with(record::Verdict::inconclusive));
    EXPECT_EQ(same.count, 0U);
    same.add(failed_on("noise"));
    same.add(with(record::Verdict::pass));
    EXPECT_EQ(same.count, 0U);
}

class Deciding final : public Person {
  public:
    explicit Deciding(std::optional<bool> answer) : answer_(answer) {}
    std::vector<std::string> asked;
    [[nodiscard]] boost::asio::awaitable<std::optional<bool>> ask(
        const Question& question) override {
        asked.push_back(question.text);
        co_return answer_;
    }

  private:
    std::optional<bool> answer_;
};

// Every unit of the magazine has the same dead channel.
class StopRuleOnBench : public ::testing::Test {
  protected:
    static bench::BenchOptions dead_units() {
        bench::BenchOptions options;
        options.units = 5;
        for (std::uint32_t unit = 1; unit <= 5; ++unit)
            options.defects.placed.push_back({unit, bench::DefectKind::dead_channel, 1});
        return options;
    }
    static language::PlanPtr plan(unsigned same_failures) {
        language::Plan plan = quick_plan();
        plan.fixture.stop_rule.same_failures = same_failures;
        return std::make_shared<const language::Plan>(std::move(plan));
    }
    template <class T>
    [[nodiscard]] std::vector<T> told() const {
        std::vector<T> found;
        for (const Event& event : rig.events)
            if (const T* one = std::get_if<T>(&event)) found.push_back(*one);
        return found;
    }
    BenchRig rig{plan(3), dead_units()};
};

TEST_F(StopRuleOnBench, ClosesTheNestWhenNobodyIsThereToAsk) {
    const LotOutcome lot = rig.run();
    EXPECT_EQ(lot.count.fail, 3U);
    EXPECT_TRUE(lot.station_fault);
    EXPECT_THAT(lot.reason, HasSubstr("nobody let it go on: 3 units in a row failed on contact"));
    ASSERT_EQ(told<NestPaused>().size(), 1U);
    EXPECT_THAT(told<NestPaused>()[0].sentence, HasSubstr("calls for help: 3 units"));
    EXPECT_TRUE(told<NestResumed>().empty());
}

TEST_F(StopRuleOnBench, GoesOnAfterAPersonLetItAndCountsAnew) {
    Deciding person(true);
    rig.person = &person;
    const LotOutcome lot = rig.run();
    EXPECT_EQ(lot.count.fail, 5U);
    EXPECT_FALSE(lot.station_fault) << lot.reason;
    ASSERT_EQ(person.asked.size(), 1U);
    EXPECT_THAT(person.asked[0], HasSubstr("Go on?"));
    EXPECT_EQ(told<NestResumed>().size(), 1U);
}

TEST_F(StopRuleOnBench, ClosesTheNestWhenThePersonSaysNo) {
    Deciding person(false);
    rig.person = &person;
    const LotOutcome lot = rig.run();
    EXPECT_EQ(lot.count.fail, 3U);
    EXPECT_TRUE(lot.station_fault);
}

// A person who never answers.
class Absent final : public Person {
  public:
    explicit Absent(port::Clock& clock) : clock_(clock) {}
    [[nodiscard]] boost::asio::awaitable<std::optional<bool>> ask(const Question&) override {
        co_await clock_.sleep_for(std::chrono::hours(1000));
        co_return std::nullopt;
    }

  private:
    port::Clock& clock_;
};

TEST_F(StopRuleOnBench, WaitsForThePersonButNotWhenTheLotIsStopped) {
    Absent person(rig.clock);
    rig.person = &person;
    rig.on_event = [&](const Event& event) {
        if (std::holds_alternative<NestPaused>(event))
            boost::asio::co_spawn(
                rig.context,
                [this]() -> boost::asio::awaitable<void> {
                    co_await rig.clock.sleep_for(std::chrono::minutes(5));
                    rig.lot->stop_loading();
                },
                boost::asio::detached);
    };
    const LotOutcome lot = rig.run();
    EXPECT_EQ(lot.count.fail, 3U);
    EXPECT_EQ(lot.reason, "stopped by the operator");
    EXPECT_LT(rig.seconds(), 3600.0);
}

TEST(StopRule, LooksAtEachNestAlone) {
    language::Plan plan = quick_plan({.nests = 2});
    bench::BenchOptions options;
    options.units = 4;
    for (std::uint32_t unit = 1; unit <= 4; ++unit)
        options.defects.placed.push_back({unit, bench::DefectKind::dead_channel, 1});
    BenchRig rig(std::make_shared<const language::Plan>(std::move(plan)), options);
    const LotOutcome lot = rig.run();  // two in each nest
    EXPECT_EQ(lot.count.fail, 4U);
    EXPECT_FALSE(lot.station_fault) << lot.reason;
}

}  // namespace
}  // namespace padtrim::engine::testing
