// Both ends of our Modbus codec against libmodbus: every function, over pseudo-terminals.
#include <array>
#include <atomic>
#include <thread>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <modbus.h>
#include <poll.h>
#include <unistd.h>

#include "fixtures/drivers/modbus_client.hpp"
#include "fixtures/serial/tty_link.hpp"
#include "tests/fixtures/serial/real_time.hpp"
#include "tests/peers/pty_bridge.hpp"
#include "tests/support/pseudo_terminal.hpp"

namespace padtrim::peers {
namespace {

using codec::Function;
using codec::Request;
using testing::ElementsAre;

constexpr std::uint8_t unit = 17;
constexpr int image_size = 200;

// Freed with its scope.
struct LibmodbusLink {
    explicit LibmodbusLink(const std::string& path)
        : link(modbus_new_rtu(path.c_str(), 115200, 'E', 8, 1)) {
        if (link == nullptr || modbus_set_slave(link, unit) != 0 || modbus_connect(link) != 0)
            throw std::runtime_error("libmodbus cannot open " + path);
    }
    ~LibmodbusLink() {
        modbus_close(link);
        modbus_free(link);
    }
    LibmodbusLink(const LibmodbusLink&) = delete;
    LibmodbusLink& operator=(const LibmodbusLink&) = delete;
    modbus_t* link;
};

class OurClient : public testing::Test {
  protected:
    void SetUp() override {
        modbus_set_indication_timeout(server_.link, 0, 50'000);
        for (int at = 0; at < image_size; ++at) {
            image_->tab_input_registers[at] = static_cast<std::uint16_t>(7 * at);
            image_->tab_input_bits[at] = at % 3 == 0 ? 1 : 0;
        }
        thread_ = std::thread([this] { serve(); });
        auto link = serial::TtyLink::open(time_.executor(), time_.clock(), bridge_.near(), {});
        ASSERT_TRUE(link) << link.error().what;
        client_ = std::make_unique<drivers::ModbusClient>(
            std::move(*link), time_.clock(), drivers::ClientSettings::of({}), drivers::Log{});
    }
    void TearDown() override {
        stop_ = true;
        thread_.join();
        modbus_mapping_free(image_);
    }
    void serve() {
        std::array<std::uint8_t, MODBUS_RTU_MAX_ADU_LENGTH> query{};
        while (!stop_) {
            const int size = modbus_receive(server_.link, query.data());
            if (size > 0) modbus_reply(server_.link, query.data(), size, image_);
        }
    }
    port::Outcome<drivers::Words> ask(const Request& request) {
        return time_.run(client_->transact(device_, request));
    }

    test::RealTime time_;
    PtyBridge bridge_;
    LibmodbusLink server_{bridge_.far()};
    modbus_mapping_t* image_ = modbus_mapping_new(image_size, image_size, image_size, image_size);
    std::atomic<bool> stop_{false};
    std::thread thread_;
    drivers::BusDevice device_{"libmodbus", unit, port::Blame::unit, {}};
    std::unique_ptr<drivers::ModbusClient> client_;
};

TEST_F(OurClient, ReadsEveryTableOfLibmodbus) {
    EXPECT_THAT(ask(codec::read(Function::read_input, unit, 10, 3)).value(),
                ElementsAre(70, 77, 84));
    EXPECT_THAT(ask(codec::read(Function::read_discrete, unit, 3, 10)).value(),
                ElementsAre(1, 0, 0, 1, 0, 0, 1, 0, 0, 1));
}

TEST_F(OurClient, WritesAndReadsBackThroughLibmodbus) {
    EXPECT_TRUE(ask(codec::write_register(unit, 4, 0xBEEF)));
    EXPECT_TRUE(ask(codec::write_registers(unit, 5, {1, 2, 3})));
    EXPECT_THAT(ask(codec::read(Function::read_holding, unit, 4, 4)).value(),
                ElementsAre(0xBEEF, 1, 2, 3));
    EXPECT_TRUE(ask(codec::write_coil(unit, 9, true)));
    EXPECT_TRUE(ask(codec::write_coils(unit, 10, {0, 1, 1, 0, 1, 1, 1, 0, 1})));
    EXPECT_THAT(ask(codec::read(Function::read_coils, unit, 9, 10)).value(),
                ElementsAre(1, 0, 1, 1, 0, 1, 1, 1, 0, 1));
}

TEST_F(OurClient, ReadsAsMuchAsTheStandardAllows) {
    EXPECT_EQ(ask(codec::read(Function::read_input, unit, 0, 125)).value()[124], 7 * 124);
}

TEST_F(OurClient, PassesOnLibmodbussRefusal) {
    const auto got = ask(codec::read(Function::read_holding, unit, 0x500, 1));
    ASSERT_FALSE(got);
    EXPECT_EQ(got.error().kind, port::FaultKind::refused);
    EXPECT_NE(got.error().what.find("illegal data address (02)"), std::string::npos);
}

// Our request parser and reply encoders as a server, libmodbus as its client.
class OurServer : public testing::Test {
  protected:
    void SetUp() override {
        modbus_set_response_timeout(client_.link, 2, 0);
        thread_ = std::thread([this] { serve(); });
    }
    void TearDown() override {
        stop_ = true;
        thread_.join();
    }
    void serve() {
        codec::RequestParser parser;
        while (!stop_) {
            pollfd watch{pty_.master(), POLLIN, 0};
            if (::poll(&watch, 1, 20) <= 0) continue;
            std::array<std::uint8_t, 256> piece{};
            const ssize_t got = ::read(pty_.master(), piece.data(), piece.size());
            if (got <= 0) continue;
            auto bytes = std::span<const std::uint8_t>(piece).first(static_cast<std::size_t>(got));
            while (!bytes.empty())
                if (parser.feed(bytes) == codec::Arrival::request)
                    pty_.send(answer(parser.request()).bytes());
        }
    }
    codec::Frame answer(const Request& request) {
        const auto code = static_cast<std::uint8_t>(request.function);
        if (const auto fault = codec::fault_of(request))
            return codec::encode_exception(request.unit, code, *fault);
        if (request.address + request.count > image_size)
            return codec::encode_exception(request.unit, code,
                                           codec::ExceptionCode::illegal_address);
        const bool bits = codec::reads_bits(request.function) ||
                          request.function == Function::write_coil ||
                          request.function == Function::write_coils;
        const auto first = (bits ? bits_ : words_).begin() + request.address;
        std::copy(request.values.begin(), request.values.end(), first);
        const std::vector<std::uint16_t> values(first, first + request.count);
        return codec::encode_reply(request, values);
    }

    test::PseudoTerminal pty_;
    LibmodbusLink client_{pty_.path()};
    std::vector<std::uint16_t> words_ = std::vector<std::uint16_t>(image_size);
    std::vector<std::uint16_t> bits_ = std::vector<std::uint16_t>(image_size);
    std::atomic<bool> stop_{false};
    std::thread thread_;
};

TEST_F(OurServer, AnswersEveryWriteAndReadOfLibmodbus) {
    const std::array<std::uint16_t, 3> registers{5, 6, 0xFFFF};
    ASSERT_EQ(modbus_write_registers(client_.link, 10, 3, registers.data()), 3);
    ASSERT_EQ(modbus_write_register(client_.link, 13, 8), 1);
    std::array<std::uint16_t, 4> words{};
    ASSERT_EQ(modbus_read_registers(client_.link, 10, 4, words.data()), 4);
    EXPECT_THAT(words, ElementsAre(5, 6, 0xFFFF, 8));
    ASSERT_EQ(modbus_read_input_registers(client_.link, 11, 1, words.data()), 1);
    EXPECT_EQ(words[0], 6);

    const std::array<std::uint8_t, 9> coils{1, 0, 0, 1, 1, 0, 1, 0, 1};
    ASSERT_EQ(modbus_write_bits(client_.link, 20, 9, coils.data()), 9);
    ASSERT_EQ(modbus_write_bit(client_.link, 29, 1), 1);
    std::array<std::uint8_t, 10> bits{};
    ASSERT_EQ(modbus_read_bits(client_.link, 20, 10, bits.data()), 10);
    EXPECT_THAT(bits, ElementsAre(1, 0, 0, 1, 1, 0, 1, 0, 1, 1));
    ASSERT_EQ(modbus_read_input_bits(client_.link, 23, 2, bits.data()), 2);
    EXPECT_EQ(bits[0] + bits[1], 2);
}

TEST_F(OurServer, RefusesWhatLibmodbusMayNotAsk) {
    std::uint16_t word = 0;
    EXPECT_EQ(modbus_read_registers(client_.link, image_size, 1, &word), -1);
    EXPECT_EQ(errno, EMBXILADD);
}

}  // namespace
}  // namespace padtrim::peers
