#include "station/engine/motion_permit.hpp"

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "fixtures/bench/virtual_clock.hpp"

namespace padtrim::engine {
namespace {

using namespace std::chrono_literals;
using port::FaultKind;
using ::testing::HasSubstr;

class Door final : public port::Interlock {
  public:
    explicit Door(bool& open) : open_(open) {}
    [[nodiscard]] port::Task<port::Outcome<void>> closed() override {
        if (open_)
            co_return port::Fault{FaultKind::interlock_open, port::Blame::fixture, "board",
                                  "The guard door is open."};
        co_return port::Outcome<void>();
    }

  private:
    bool& open_;
};

class Permit : public ::testing::Test {
  protected:
    [[nodiscard]] std::string why_not() {
        const auto closed = clock_.run(permit_.closed());
        return closed ? "" : closed.error().what;
    }
    void grant() {
        const auto granted = clock_.run(permit_.grant());
        ASSERT_TRUE(granted) << granted.error().what;
    }
    boost::asio::io_context context_;
    bench::VirtualClock clock_{context_};
    bool open_ = false;
    MotionPermit permit_{clock_, std::make_unique<Door>(open_), 30s};
};

TEST_F(Permit, IsNotThereUntilAPersonGrantsIt) {
    EXPECT_THAT(why_not(), HasSubstr("Nobody has said"));
    permit_.renew();
    EXPECT_THAT(why_not(), HasSubstr("Nobody has said"));
    grant();
    EXPECT_EQ(why_not(), "");
    EXPECT_EQ(permit_.left(), 30s);
}

TEST_F(Permit, EndsWhenItIsNotRenewedInTime) {
    grant();
    clock_.run_for(29s);
    permit_.renew();
    clock_.run_for(29s);
    EXPECT_EQ(why_not(), "");
    clock_.run_for(1s);
    permit_.renew();  // too late: a lease that is over does not come back
    EXPECT_THAT(why_not(), HasSubstr("for 30 s"));
    EXPECT_EQ(permit_.left(), 0s);
    grant();
    EXPECT_EQ(why_not(), "");
}

TEST_F(Permit, StaysWithdrawnAfterAnInterlockUntilAPersonGrantsItAgain) {
    grant();
    open_ = true;
    EXPECT_THAT(why_not(), HasSubstr("guard door"));
    open_ = false;
    EXPECT_THAT(why_not(), HasSubstr("guard door"));
    EXPECT_FALSE(permit_.granted());
    grant();
    EXPECT_EQ(why_not(), "");
}

TEST_F(Permit, IsNotGrantedWhileAnInterlockIsOpen) {
    open_ = true;
    const auto granted = clock_.run(permit_.grant());
    ASSERT_FALSE(granted);
    EXPECT_THAT(granted.error().what, HasSubstr("guard door"));
    EXPECT_FALSE(permit_.granted());
    open_ = false;
    EXPECT_THAT(why_not(), HasSubstr("guard door")) << "closing it grants nothing";
}

TEST_F(Permit, TellsWhatWithdrewItFirst) {
    grant();
    permit_.withdraw("Stopped by hand.");
    permit_.withdraw("Later.");
    open_ = true;
    EXPECT_EQ(why_not(), "Stopped by hand.");
}

// Asking the interlock takes time, and a stop that is said meanwhile counts.
TEST(PermitOfASlowInterlock, IsNotGrantedWhenSomebodyStopsMeanwhile) {
    struct Slow final : port::Interlock {
        explicit Slow(port::Clock& of) : clock(of) {}
        port::Task<port::Outcome<void>> closed() override {
            co_await clock.sleep_for(100ms);
            co_return port::Outcome<void>();
        }
        port::Clock& clock;
    };
    boost::asio::io_context context;
    bench::VirtualClock clock(context);
    MotionPermit permit(clock, std::make_unique<Slow>(clock), 30s);
    std::optional<port::Outcome<void>> granted;
    const auto grant = [&]() -> boost::asio::awaitable<void> { granted = co_await permit.grant(); };
    clock.spawn(grant());
    clock.run_for(50ms);
    permit.withdraw("Stopped by hand.");
    clock.run_for(100ms);
    ASSERT_TRUE(granted && !*granted);
    EXPECT_FALSE(permit.granted());
}

TEST(PermitWithoutInterlock, IsTheLeaseAlone) {
    boost::asio::io_context context;
    bench::VirtualClock clock(context);
    MotionPermit permit(clock, nullptr, 5s);
    ASSERT_TRUE(clock.run(permit.grant()));
    EXPECT_TRUE(clock.run(permit.closed()));
    clock.run_for(5s);
    EXPECT_FALSE(clock.run(permit.closed()));
}

}  // namespace
}  // namespace padtrim::engine
