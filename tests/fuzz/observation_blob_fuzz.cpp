// libFuzzer harness for the observation blob. The first byte chooses the packed blob or its body.
// Whatever comes in: no crash, and what was read packs and reads back to the same bytes.
#include <cstdint>
#include <cstdlib>

#include "db/ledger/observation_blob.hpp"

namespace {

using namespace padtrim::ledger;

void expect(bool holds) {
    if (!holds) std::abort();
}

// By their bytes, for a real that is not a number equals nothing.
void expect_round_trip(const Unpacked<padtrim::record::Observations>& read) {
    if (!read) return expect(!read.error().what.empty());
    const Bytes body = encode_body(*read);
    const auto again = decode_body(body);
    expect(again.has_value() && encode_body(*again) == body);
    const auto blob = pack(*read);
    expect(blob.has_value());
    const auto back = unpack(*blob);
    expect(back.has_value() && encode_body(*back) == body);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::span<const std::uint8_t> bytes(data + 1, size - 1);
    expect_round_trip(data[0] % 2 == 0 ? unpack(bytes) : decode_body(bytes));
    return 0;
}
