#include "station/engine/turns.hpp"

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/system/system_error.hpp>
#include <gtest/gtest.h>

#include "fixtures/bench/virtual_clock.hpp"

namespace padtrim::engine {
namespace {

using namespace std::chrono_literals;
namespace asio = boost::asio;

class TurnsInTurn : public testing::Test {
  protected:
    asio::awaitable<void> use(std::string name, std::chrono::milliseconds time) {
        Turn turn = co_await turns.take();
        said.push_back(name + " begins");
        co_await clock.sleep_for(time);
        said.push_back(name + " ends");
    }
    // As use(), but can be cancelled; says so.
    void start(std::string name, asio::cancellation_signal& signal) {
        asio::co_spawn(context, use(name, 10ms),
                       asio::bind_cancellation_slot(signal.slot(), [=, this](std::exception_ptr e) {
                           said.push_back(name + (e ? " was cancelled" : " is done"));
                       }));
    }

    asio::io_context context;
    bench::VirtualClock clock{context};
    Turns turns;
    std::vector<std::string> said;
};

using Said = std::vector<std::string>;

TEST_F(TurnsInTurn, ServesInTheOrderOfAsking) {
    for (const char* name : {"a", "b", "c"}) clock.spawn(use(name, 10ms));
    clock.run_until_idle();
    EXPECT_EQ(said, (Said{"a begins", "a ends", "b begins", "b ends", "c begins", "c ends"}));
    EXPECT_FALSE(turns.taken());
}

TEST_F(TurnsInTurn, ACancelledWaiterLeavesTheQueue) {
    asio::cancellation_signal signal;
    clock.spawn(use("a", 10ms));
    start("b", signal);
    clock.spawn(use("c", 10ms));
    clock.run_for(1ms);
    EXPECT_EQ(turns.waiting(), 2U);
    signal.emit(asio::cancellation_type::terminal);
    clock.run_until_idle();
    EXPECT_EQ(said, (Said{"a begins", "b was cancelled", "a ends", "c begins", "c ends"}));
    EXPECT_FALSE(turns.taken());
}

TEST_F(TurnsInTurn, ATurnGrantedAndCancelledAtOnceGoesOn) {
    asio::cancellation_signal signal;
    auto held = std::make_unique<Turn>();
    clock.run([](Turns& all, Turn& mine) -> asio::awaitable<void> { mine = co_await all.take(); }(
                                             turns, *held));
    start("b", signal);
    clock.spawn(use("c", 10ms));
    clock.run_for(1ms);
    held.reset();  // grants b; before b resumes it is cancelled
    signal.emit(asio::cancellation_type::terminal);
    clock.run_until_idle();
    EXPECT_EQ(said.back(), "c ends");
    EXPECT_FALSE(turns.taken());
}

TEST_F(TurnsInTurn, ACancelledHolderGivesItBack) {
    asio::cancellation_signal signal;
    start("a", signal);
    clock.spawn(use("b", 10ms));
    clock.run_for(5ms);
    signal.emit(asio::cancellation_type::terminal);
    clock.run_until_idle();
    EXPECT_EQ(said, (Said{"a begins", "a was cancelled", "b begins", "b ends"}));
}

TEST_F(TurnsInTurn, MovingATurnDoesNotGiveItBack) {
    clock.run([](Turns& all) -> asio::awaitable<void> {
        Turn first = co_await all.take();
        Turn second = std::move(first);
        EXPECT_FALSE(first.held());
        EXPECT_TRUE(second.held());
        EXPECT_TRUE(all.taken());
        second.give_back();
        second.give_back();
        EXPECT_FALSE(all.taken());
    }(turns));
}

}  // namespace
}  // namespace padtrim::engine
