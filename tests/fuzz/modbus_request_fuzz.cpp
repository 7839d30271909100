// libFuzzer harness for the server's request parser. With an odd first byte the rest gets a true
// checksum, which no fuzzer guesses. Whatever comes in: no crash, always an end, and every sound
// request encodes to a frame that reads back as itself.
#include <cstdlib>

#include "fixtures/codec/modbus.hpp"

namespace {

using namespace padtrim::codec;

void expect(bool holds) {
    if (!holds) std::abort();
}

void seal(std::vector<std::uint8_t>& bytes) {
    const std::uint16_t crc = crc16_modbus(bytes);
    bytes.push_back(static_cast<std::uint8_t>(crc & 0xFF));
    bytes.push_back(static_cast<std::uint8_t>(crc >> 8));
}

void expect_round_trip(const Request& request) {
    if (fault_of(request)) return;
    const Frame frame = encode(request);
    RequestParser again;
    std::span<const std::uint8_t> bytes = frame.bytes();
    expect(again.feed(bytes) == Arrival::request && bytes.empty());
    expect(again.request() == request);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    std::vector<std::uint8_t> all(data + 1, data + size);
    if (data[0] % 2 != 0) seal(all);
    RequestParser parser;
    std::span<const std::uint8_t> bytes(all);
    while (!bytes.empty()) {
        const std::size_t before = bytes.size();
        if (parser.feed(bytes) == Arrival::request) expect_round_trip(parser.request());
        expect(bytes.size() < before);
    }
    const Arrival last = parser.silence();
    expect(last != Arrival::request);
    if (last == Arrival::unknown_function)
        expect(
            encode_exception(parser.unit(), parser.function_code(), ExceptionCode::illegal_function)
                .size() == 5);
    expect(parser.silence() == Arrival::nothing);
    return 0;
}
