// libFuzzer harness for the client's reply parser. The first four bytes choose the request.
// Whatever comes in: no crash, no byte uncounted, the same answer however the bytes are cut, and
// what was accepted is what a server would have sent.
#include <algorithm>
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

Request request_of(std::span<const std::uint8_t> bytes) {
    constexpr Function functions[] = {Function::read_coils,   Function::read_discrete,
                                      Function::read_holding, Function::read_input,
                                      Function::write_coil,   Function::write_register,
                                      Function::write_coils,  Function::write_registers};
    const Function function = functions[bytes[0] % 8];
    const auto count = static_cast<std::uint16_t>(1 + bytes[1] % most_items(function));
    const auto address = static_cast<std::uint16_t>(bytes[2] << 8 | bytes[3]);
    std::vector<std::uint16_t> values;
    if (!is_read(function)) values.assign(count, bytes[3]);
    return {17, function, address, count, values};
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < 4) return 0;
    const std::span<const std::uint8_t> all(data, size);
    const Request request = request_of(all.first(4));
    std::vector<std::uint8_t> sealed_bytes(all.begin() + 4, all.end());
    if ((data[0] & 0x80) != 0) seal(sealed_bytes);
    const std::span<const std::uint8_t> bytes(sealed_bytes);
    ReplyParser whole(request), cut(request);
    whole.feed(bytes);
    for (const std::uint8_t byte : bytes) cut.feed(std::span(&byte, 1));
    expect(whole.received() == bytes.size() && cut.received() == bytes.size());
    expect((whole.progress() == Progress::complete) == (cut.progress() == Progress::complete));
    expect((whole.problem() == ReplyProblem::none) == (whole.progress() == Progress::complete));
    if (whole.progress() != Progress::complete) return 0;
    const Reply reply = whole.reply();
    expect(reply.values == cut.reply().values && whole.surplus() == cut.surplus());
    if (reply.exception || reads_bits(request.function)) return 0;  // spare bits may hold anything
    const Frame sent = encode_reply(request, reply.values);
    expect(sent.size() + whole.surplus() == bytes.size());
    expect(std::equal(sent.bytes().begin(), sent.bytes().end(), bytes.begin()));
    return 0;
}
