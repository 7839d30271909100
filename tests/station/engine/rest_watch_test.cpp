#include "station/engine/rest_watch.hpp"

#include <optional>

#include <boost/asio/io_context.hpp>
#include <gtest/gtest.h>

#include "fixtures/bench/virtual_clock.hpp"

namespace padtrim::engine {
namespace {

using namespace std::chrono_literals;
using port::Fault;
using port::FaultKind;
using port::Outcome;

// A fixture at rest whose relay board takes 10 ms for an answer, and has one port.
struct Board {
    bench::VirtualClock& clock;
    Outcome<AtRest> says = AtRest::clear;
    std::optional<Fault> missing = {};
    int looks = 0;
    bool held = false;
};

class BoardLook final : public RestLook {
  public:
    explicit BoardLook(Board& board) : board_(board) { board_.held = true; }
    ~BoardLook() override {
        if (mine_) board_.held = false;
    }
    port::Task<Outcome<AtRest>> look() override {
        ++board_.looks;
        co_await board_.clock.sleep_for(10ms);
        if (!mine_)
            co_return Fault{FaultKind::cancelled, port::Blame::fixture, "board", "Aborted."};
        co_return board_.says;
    }
    void let_go() override { board_.held = mine_ = false; }

  private:
    Board& board_;
    bool mine_ = true;
};

class RestWatching : public ::testing::Test {
  protected:
    static Fault silence() {
        return {FaultKind::no_answer, port::Blame::fixture, "board", "No answer from the board."};
    }
    [[nodiscard]] OpenRestLook opener() {
        return [this]() -> Outcome<std::unique_ptr<RestLook>> {
            if (board_.missing) return *board_.missing;
            EXPECT_FALSE(board_.held) << "two looks at once";
            return std::unique_ptr<RestLook>(std::make_unique<BoardLook>(board_));
        };
    }
    // A page that is sent the state every 3 s.
    void a_page_for(std::chrono::seconds time) {
        for (std::chrono::seconds left = time; left > 0s; left -= 3s) {
            watch_.watched();
            clock_.run_for(std::min<std::chrono::seconds>(left, 3s));
        }
    }
    // How long a start waits now.
    std::chrono::nanoseconds waited() {
        const port::Instant began = clock_.now();
        clock_.run(watch_.settled());
        return clock_.now() - began;
    }
    boost::asio::io_context context_;
    bench::VirtualClock clock_{context_};
    Board board_{clock_};
    int changes_ = 0;
    RestWatch watch_{context_.get_executor(), clock_, opener(), 400ms, [this] { ++changes_; }};
};

TEST_F(RestWatching, LooksAtNothingWhileNobodyIsThere) {
    clock_.run_for(60s);
    EXPECT_EQ(board_.looks, 0);
}

TEST_F(RestWatching, SaysThatTheGuardIsOpenAndThatItWasClosed) {
    board_.says = AtRest::guard_open;
    watch_.watched();
    clock_.run_for(20ms);
    EXPECT_EQ(watch_.found(), (RestFinding{AtRest::guard_open, ""}));
    EXPECT_EQ(changes_, 1);
    board_.says = AtRest::clear;
    clock_.run_for(RestWatch::pace + 20ms);
    EXPECT_EQ(watch_.found(), RestFinding{});
    EXPECT_EQ(changes_, 2);
    EXPECT_FALSE(board_.held);
}

TEST_F(RestWatching, LooksOnceASecondForAsLongAsAPageIsThere) {
    a_page_for(60s);
    EXPECT_GE(board_.looks, 58);
    EXPECT_LE(board_.looks, 60);
    const int before = board_.looks;
    clock_.run_for(60s);
    EXPECT_LE(board_.looks, before + 5);
    EXPECT_EQ(clock_.sleepers(), 0U);
    EXPECT_EQ(changes_, 0);
}

TEST_F(RestWatching, ForgetsWhatItFoundOnceNobodyWatches) {
    board_.says = AtRest::stop_pressed;
    watch_.watched();
    clock_.run_for(60s);
    EXPECT_EQ(watch_.found(), RestFinding{}) << "found a minute ago";
}

TEST_F(RestWatching, GivesWayInTheMiddleOfALookAndLooksNoMore) {
    board_.says = AtRest::guard_open;
    watch_.watched();
    clock_.run_for(5ms);
    ASSERT_TRUE(board_.held);
    watch_.give_way();
    EXPECT_FALSE(board_.held) << "when it returns, not a turn later";
    clock_.run_for(60s);
    EXPECT_EQ(board_.looks, 1);
    EXPECT_EQ(changes_, 0);
    watch_.watched();
    clock_.run_for(20ms);
    EXPECT_EQ(watch_.found().state, AtRest::guard_open);
}

TEST_F(RestWatching, WaitsForWhatTheBoardStillOwesToALookThatGaveWay) {
    watch_.watched();
    clock_.run_for(20ms);
    watch_.give_way();
    EXPECT_EQ(waited(), 0ms) << "between two looks nothing is owed";
    watch_.watched();
    clock_.run_for(RestWatch::pace - 5ms);
    ASSERT_TRUE(board_.held);
    watch_.give_way();
    EXPECT_EQ(waited(), 400ms);
}

TEST_F(RestWatching, WaitsForTheLateAnswerOfABoardThatWasSilent) {
    board_.says = silence();
    watch_.watched();
    clock_.run_for(30ms);
    ASSERT_FALSE(board_.held);
    watch_.give_way();
    EXPECT_EQ(waited(), 380ms) << "the look ended 20 ms ago";
}

TEST_F(RestWatching, TellsAFaultWhenTwoLooksInARowMetOne) {
    board_.says = silence();
    watch_.watched();
    clock_.run_for(20ms);
    EXPECT_EQ(watch_.found(), RestFinding{}) << "one lost answer";
    clock_.run_for(RestWatch::pace);
    EXPECT_EQ(watch_.found().fault, "No answer from the board.");
    board_.missing =
        Fault{FaultKind::port_missing, port::Blame::fixture, "p", "There is no port p."};
    clock_.run_for(RestWatch::pace);
    EXPECT_EQ(watch_.found().fault, "There is no port p.");
    board_.missing.reset();
    board_.says = AtRest::clear;
    clock_.run_for(RestWatch::pace + 20ms);
    EXPECT_EQ(watch_.found(), RestFinding{});
}

TEST_F(RestWatching, TellsAnotherFixtureAtOnce) {
    board_.says = Fault{FaultKind::wrong_device, port::Blame::fixture, "fixture", "Number 9."};
    watch_.watched();
    clock_.run_for(20ms);
    EXPECT_EQ(watch_.found().fault, "Number 9.");
}

TEST_F(RestWatching, EndsForGood) {
    watch_.watched();
    clock_.run_for(5ms);
    watch_.end();
    EXPECT_FALSE(board_.held);
    clock_.run_until_idle();
    watch_.watched();
    clock_.run_for(60s);
    EXPECT_EQ(board_.looks, 1);
    EXPECT_EQ(clock_.sleepers(), 0U);
}

TEST_F(RestWatching, EndsBeforeItsFirstLookHasBegun) {
    watch_.watched();
    watch_.end();
    EXPECT_NO_THROW(clock_.run_until_idle());
    EXPECT_EQ(board_.looks, 0);
    EXPECT_FALSE(board_.held);
}

TEST_F(RestWatching, LeavesALookThatOutlivesItAlone) {
    {
        const RestWatch brief(context_.get_executor(), clock_, opener(), 0ms, [] { FAIL(); });
        board_.says = AtRest::guard_open;
        brief.watched();
        clock_.run_for(5ms);
        ASSERT_TRUE(board_.held);
    }
    EXPECT_FALSE(board_.held);
    clock_.run_until_idle();
}

TEST_F(RestWatching, HasNothingToDoWhereThereIsNothingToLookAt) {
    const RestWatch none(context_.get_executor(), clock_, {}, 0ms, [] { FAIL(); });
    none.watched();
    clock_.run_for(60s);
    EXPECT_EQ(none.found(), RestFinding{});
}

}  // namespace
}  // namespace padtrim::engine
