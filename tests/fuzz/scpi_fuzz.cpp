// libFuzzer harness for SCPI: the input is taken for every kind of message. Whatever comes in: no
// crash; what was read is read again, the same, from the text that it makes.
#include <cmath>
#include <cstdlib>

#include "fixtures/codec/scpi.hpp"

namespace {

void expect(bool holds) {
    if (!holds) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace padtrim::codec;
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    if (const auto channels = read_channel_list(text)) {
        expect(!channels->empty() && channels->size() <= most_channels);
        expect(read_channel_list(channel_list(*channels)) == channels);
    }
    if (const auto string = read_string(text)) expect(read_string(made_string(*string)) == string);
    if (const auto error = read_error(text)) expect(read_error(made_error(*error)) == error);
    if (const auto number = read_number(text)) {
        const auto again = read_number(made_number(number->value));
        // Ten digits of the largest doubles may round beyond their range.
        expect(std::abs(number->value) > 1e308 || again.has_value());
        if (again && std::isnan(number->value)) expect(std::isnan(again->value));
    }
    if (const auto units = read_program(text))
        for (const auto& unit : *units) expect(!unit.header.empty());
    if (const auto found = read_identification(text)) expect(fits_identity("", *found));
    (void)fits_identity(text, Identification{});
    (void)read_flags(text);
    (void)is_header("ROUTe:CLOSe", text);
    (void)is_header(text, "ROUT:CLOS");
    return 0;
}
