// How often contacts worked: counted on their way to the bank, and kept in the journal.
#include "station/engine/contact_counter.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/station/engine/bench_rig.hpp"
#include "tests/support/await.hpp"

namespace padtrim::engine::testing {
namespace {

using record::CoilOperations;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

class Bank final : public port::RelayBank {
  public:
    bool fails = false;
    port::Task<port::Outcome<void>> set(std::span<const port::CoilState>) override {
        co_return outcome();
    }
    port::Task<port::Outcome<bool>> input(std::uint16_t) override { co_return true; }
    port::Task<port::Outcome<void>> open_all() override { co_return outcome(); }

  private:
    [[nodiscard]] port::Outcome<void> outcome() const {
        if (!fails) return port::Outcome<void>();
        return port::Fault{port::FaultKind::no_answer, port::Blame::fixture, "relays", "silent"};
    }
};

class Counter : public ::testing::Test {
  protected:
    bool set(std::vector<port::CoilState> coils) {
        return support::await(context, counter.set(coils)).has_value();
    }
    boost::asio::io_context context;
    Bank bank;
    ContactCounter counter{bank};
};

TEST_F(Counter, CountsClosingsThatChangeSomething) {
    EXPECT_TRUE(set({{3, true}, {5, true}}));
    EXPECT_TRUE(set({{3, true}}));
    EXPECT_TRUE(set({{3, false}}));
    EXPECT_TRUE(set({{3, true}, {5, false}}));
    EXPECT_THAT(counter.take(), ElementsAre(CoilOperations{3, 2}, CoilOperations{5, 1}));
    EXPECT_THAT(counter.take(), IsEmpty());
}

TEST_F(Counter, KnowsThatAllWereOpened) {
    set({{3, true}});
    EXPECT_TRUE(support::await(context, counter.open_all()).has_value());
    set({{3, true}});
    EXPECT_THAT(counter.take(), ElementsAre(CoilOperations{3, 2}));
}

TEST_F(Counter, CountsNothingThatTheBankRefused) {
    bank.fails = true;
    EXPECT_FALSE(set({{3, true}}));
    EXPECT_THAT(counter.take(), IsEmpty());
}

// Against the bench, which counts every contact that moves, both ways: 30 units, so that the books
// are written in between too.
TEST(ContactCounts, AreThoseOfTheBenchOverAWholeLot) {
    bench::BenchOptions options;
    options.units = 30;
    BenchRig rig(test_support::demo_plan(), options);
    EXPECT_FALSE(rig.run().station_fault);
    std::uint64_t counted = 0;
    for (const auto& [coil, operations] : rig.journal.operations) counted += operations;
    EXPECT_EQ(2 * counted, rig.bench.relays().switchings());
    const std::uint16_t pins = rig.plan->fixture.nests[0].connect_coil;
    EXPECT_GE(rig.journal.operations[pins], 30U);
}

class PluggedIn : public ::testing::Test {
  protected:
    static bench::BenchOptions one_unit() {
        bench::BenchOptions options;
        options.units = 1;
        return options;
    }
    static language::PlanPtr coded_plan() {
        language::Plan plan = *test_support::demo_plan();
        plan.fixture.relays.inputs = 16;
        plan.fixture.identity = language::CodedIdentity{{10, 11, 12}, 5};
        return std::make_shared<const language::Plan>(std::move(plan));
    }
};

TEST_F(PluggedIn, TheRightFixtureRuns) {
    BenchRig rig(coded_plan(), one_unit());
    EXPECT_EQ(rig.run().count.pass, 1U);
}

TEST_F(PluggedIn, AnotherFixtureIsRefusedBeforeAnythingMoves) {
    for (const std::uint32_t number : {0U, 3U, 4U, 7U}) {
        auto options = one_unit();
        options.fixture_number = number;
        BenchRig rig(coded_plan(), options);
        const LotOutcome lot = rig.run();
        EXPECT_TRUE(lot.station_fault);
        EXPECT_THAT(lot.reason, ::testing::HasSubstr("is number 5. Nothing was moved."));
        EXPECT_EQ(rig.bench.relays().switchings(), 0U);
        EXPECT_TRUE(rig.journal.lots.empty());
        EXPECT_THAT(lot.reason, ::testing::HasSubstr(number == 0 ? "No fixture is plugged in"
                                                                 : "says that it is number"));
    }
}

}  // namespace
}  // namespace padtrim::engine::testing
