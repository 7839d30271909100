// libFuzzer harness for RS-274 blocks. Whatever comes in: no crash; a refusal has a place and a
// sentence; what was accepted has a text that reads back to the same text.
#include <cmath>
#include <cstdlib>

#include "fixtures/codec/motion.hpp"

namespace {

void expect(bool holds) {
    if (!holds) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace padtrim::codec;
    const std::string_view line(reinterpret_cast<const char*>(data), size);
    const auto block = parse_block(line);
    if (!block) {
        expect(!block.error().what.empty() && block.error().column >= 1);
        expect(block.error().column <= longest_block + 1);
        return 0;
    }
    // The text keeps four decimals: a smaller feed would become none.
    if (block->feed && *block->feed < 0.0001) return 0;
    const std::string text = text_of(*block);
    if (text.size() > longest_block) return 0;  // numbers that no axis has
    const auto again = parse_block(text);
    expect(again.has_value() && text_of(*again) == text);
    return 0;
}
