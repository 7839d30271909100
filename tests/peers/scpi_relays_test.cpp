// Our relay driver on a relay board that is Python's standard library and nothing of ours, over
// TCP and over a pseudo-terminal, in real time.
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "fixtures/drivers/scpi_relay_bank.hpp"
#include "fixtures/serial/serial_ports.hpp"
#include "tests/fixtures/serial/real_time.hpp"
#include "tests/peers/python_instrument.hpp"

namespace padtrim::peers {
namespace {

using namespace std::chrono_literals;
using port::CoilState;
using port::FaultKind;
using ::testing::HasSubstr;

class ScpiPeer : public ::testing::TestWithParam<const char*> {
  protected:
    void start(std::vector<std::string> more = {}) {
        more.insert(more.begin(), GetParam());
        instrument_ = std::make_unique<PythonInstrument>(more);
        language::RelayBoard board;
        board.coils = 64;
        board.inputs = 4;
        board.settle = 1ms;
        board.port.tcp = GetParam() == std::string("tcp");
        board.port.path = (board.port.tcp ? "127.0.0.1:" : "") + instrument_->where();
        board.port.line.response_timeout = 500ms;
        board.port.line.retries = 1;
        board.scpi = language::ScpiBoard{"PEER WORKS,RELAY BOARD", 101, "DIG:INP? {channels}", 201};
        auto link = ports_.open(board.port);
        ASSERT_TRUE(link) << link.error().what;
        bank_ = std::make_unique<drivers::ScpiRelayBank>(std::move(*link), board, time_.clock(),
                                                         drivers::Log{});
    }
    port::Outcome<void> set(std::vector<CoilState> coils) { return time_.run(bank_->set(coils)); }

    test::RealTime time_;
    serial::SerialPorts ports_{time_.executor(), time_.clock()};
    std::unique_ptr<PythonInstrument> instrument_;
    std::unique_ptr<drivers::ScpiRelayBank> bank_;
};

TEST_P(ScpiPeer, SwitchesAsToldAndReadsBack) {
    start();
    std::mt19937 random(64);
    for (int round = 0; round < 60; ++round) {
        std::vector<CoilState> coils;
        for (auto n = 1 + random() % 20; n > 0; --n)
            coils.push_back({static_cast<std::uint16_t>(random() % 64), random() % 2 == 0});
        const auto done = set(coils);
        ASSERT_TRUE(done) << done.error().what;
    }
    ASSERT_TRUE(time_.run(bank_->open_all()));
    for (std::uint16_t coil = 0; coil < 64; ++coil) EXPECT_EQ(bank_->known(coil), false);
    EXPECT_EQ(bank_->counters().retries, 0U);
}

TEST_P(ScpiPeer, ReadsInputs) {
    start();
    EXPECT_EQ(time_.run(bank_->inputs(0, 4)).value(),
              (std::vector<bool>{true, false, true, false}));
}

TEST_P(ScpiPeer, TakesRepliesInPieces) {
    start({"--pieces"});
    EXPECT_TRUE(set({{1, true}, {5, true}, {6, true}, {7, true}}));
}

TEST_P(ScpiPeer, WaitsUntilTheRelaysHaveMoved) {
    start({"--slow", "120"});
    const auto began = std::chrono::steady_clock::now();
    EXPECT_TRUE(set({{1, true}}));
    EXPECT_GE(std::chrono::steady_clock::now() - began, 120ms);
}

TEST_P(ScpiPeer, ReportsARelayThatDoesNotFollow) {
    start({"--stuck", "105,closed"});
    const auto got = time_.run(bank_->open_all());
    ASSERT_FALSE(got);
    EXPECT_EQ(got.error().kind, FaultKind::read_back);
    EXPECT_THAT(got.error().what, HasSubstr("4 (stays closed)"));
}

TEST_P(ScpiPeer, RefusesAnotherInstrument) {
    start({"--identity", "PEER WORKS,METER,7,0.3"});
    EXPECT_EQ(set({{1, true}}).error().kind, FaultKind::wrong_device);
}

TEST_P(ScpiPeer, EndsWithAFaultWhenTheInstrumentGoes) {
    start();
    ASSERT_TRUE(set({{1, true}}));
    instrument_->stop();
    const auto began = std::chrono::steady_clock::now();
    const auto got = set({{1, false}});
    ASSERT_FALSE(got);
    EXPECT_EQ(got.error().blame, port::Blame::fixture);
    EXPECT_LT(std::chrono::steady_clock::now() - began, 3s);
}

INSTANTIATE_TEST_SUITE_P(Over, ScpiPeer, ::testing::Values("tcp", "pty"),
                         [](const auto& chosen) { return std::string(chosen.param); });

}  // namespace
}  // namespace padtrim::peers
