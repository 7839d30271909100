// The stream of states: what readers get, and what becomes of one that does not read.
// The form of an event is that of the HTML standard, section 9.2.6 (data:, an empty line).
#include "station/web/live_feed.hpp"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <gtest/gtest.h>

namespace padtrim::web {
namespace {

namespace io = boost::asio;
using namespace std::chrono_literals;

struct Reader {
    std::vector<std::string> pieces;
    bool stays = true;
    bool ended = false;
};

class Feed : public ::testing::Test {
  protected:
    io::io_context context{1};
    std::string state_now = "{\"n\":0}";
    int rendered = 0;
    LivePace pace{1ms, 20ms, 10s, 3};
    std::shared_ptr<LiveFeed> feed;

    void SetUp() override {
        feed = std::make_shared<LiveFeed>(
            context.get_executor(),
            [this] {
                ++rendered;
                return state_now;
            },
            pace);
    }
    void read(Reader& reader, const std::string& login = "") {
        auto write = [&reader](const std::string& piece) -> io::awaitable<bool> {
            reader.pieces.push_back(piece);
            co_return reader.stays;
        };
        LiveFeed::Seat seat(feed, login);
        io::co_spawn(context, LiveFeed::serve(feed, std::move(seat), write),
                     [&reader](std::exception_ptr) { reader.ended = true; });
    }
    template <class Condition>
    bool until(Condition condition) {
        for (int turns = 0; turns < 1000 && !condition(); ++turns) context.run_one_for(100ms);
        return condition();
    }
    void end() {
        feed->close();
        context.run();
    }
};

TEST_F(Feed, GivesTheStateAtOnceAndThenBeats) {
    Reader one;
    read(one);
    ASSERT_TRUE(until([&] { return one.pieces.size() >= 3; }));
    EXPECT_EQ(one.pieces[0], "data: {\"n\":0}\n\n");
    EXPECT_EQ(one.pieces[1], "event: beat\ndata:\n\n");
    EXPECT_EQ(one.pieces[2], "event: beat\ndata:\n\n");
    EXPECT_EQ(rendered, 1);
    end();
}

TEST_F(Feed, TellsEveryReaderAChangeRenderedOnce) {
    Reader one, two;
    read(one);
    read(two);
    ASSERT_TRUE(until([&] { return one.pieces.size() >= 2 && two.pieces.size() >= 2; }));
    one.pieces.clear();
    two.pieces.clear();
    state_now = "{\"n\":1}";
    feed->changed();
    ASSERT_TRUE(until([&] { return !one.pieces.empty() && !two.pieces.empty(); }));
    EXPECT_EQ(one.pieces[0], "data: {\"n\":1}\n\n");
    EXPECT_EQ(two.pieces[0], one.pieces[0]);
    EXPECT_EQ(rendered, 2);
    end();
}

TEST_F(Feed, PutsChangesThatComeTogetherIntoOneState) {
    Reader one;
    read(one);
    ASSERT_TRUE(until([&] { return one.pieces.size() >= 2; }));
    one.pieces.clear();
    for (int i = 1; i <= 100; ++i) {
        state_now = "{\"n\":" + std::to_string(i) + "}";
        feed->changed();
    }
    ASSERT_TRUE(until([&] { return !one.pieces.empty(); }));
    EXPECT_EQ(one.pieces[0], "data: {\"n\":100}\n\n");
    EXPECT_EQ(rendered, 2);
    end();
}

TEST_F(Feed, FindsAChangeThatNobodyAnnounced) {
    pace.fresh = 0ms;
    SetUp();
    Reader one;
    read(one);
    ASSERT_TRUE(until([&] { return one.pieces.size() >= 2; }));
    state_now = "{\"due\":true}";
    ASSERT_TRUE(until([&] { return one.pieces.back() == "data: {\"due\":true}\n\n"; }));
    end();
}

TEST_F(Feed, LetsGoOfAReaderThatIsGoneAndCountsTheRest) {
    Reader gone, there;
    gone.stays = false;
    read(gone);
    read(there);
    ASSERT_TRUE(until([&] { return gone.ended; }));
    EXPECT_EQ(feed->readers(), 1u);
    EXPECT_FALSE(feed->full());
    Reader second, third;
    read(second);
    read(third);
    ASSERT_TRUE(until([&] { return feed->readers() == 3; }));
    EXPECT_TRUE(feed->full());
    end();
    EXPECT_TRUE(there.ended && second.ended && third.ended);
    EXPECT_EQ(feed->readers(), 0u);
}

TEST_F(Feed, KeepsPlacesFreeFromOneLoginForTheOthers) {
    pace.of_one_login = 2;
    SetUp();
    Reader first, second, anothers;
    first.stays = false;
    read(first, "M");
    EXPECT_FALSE(feed->full_for("M"));
    read(second, "M");
    EXPECT_TRUE(feed->full_for("M")) << "counted before anything was sent";
    EXPECT_FALSE(feed->full_for("Q"));
    EXPECT_FALSE(feed->full_for("")) << "where nobody has a login, only the whole is bounded";
    read(anothers, "Q");
    ASSERT_TRUE(until([&] { return first.ended && anothers.pieces.size() >= 2; }));
    EXPECT_FALSE(feed->full_for("M")) << "one is gone";
    EXPECT_EQ(feed->readers(), 2u);
    end();
    EXPECT_EQ(feed->readers(), 0u);
}

}  // namespace
}  // namespace padtrim::web
