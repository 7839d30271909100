// libFuzzer harness for the line splitter: the same lines however the bytes are cut; no line longer
// than allowed, none empty, none with an end mark in it.
#include <algorithm>
#include <cstdlib>
#include <span>
#include <vector>

#include "fixtures/codec/line_splitter.hpp"

namespace {

using padtrim::codec::LineSplitter;
using padtrim::codec::TextLine;

void expect(bool holds) {
    if (!holds) std::abort();
}

std::vector<TextLine> lines_of(std::span<const std::uint8_t> bytes, std::size_t piece) {
    constexpr std::size_t longest = 40;
    LineSplitter splitter(longest);
    for (std::size_t at = 0; at < bytes.size(); at += piece)
        splitter.feed(bytes.subspan(at, std::min(piece, bytes.size() - at)));
    std::vector<TextLine> lines;
    while (const auto line = splitter.next()) {
        expect(!line->text.empty() && line->text.size() <= longest);
        expect(line->text.find_first_of("\r\n") == std::string::npos);
        lines.push_back(*line);
    }
    return lines;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::span<const std::uint8_t> bytes(data, size);
    const auto whole = lines_of(bytes, size + 1);
    expect(whole == lines_of(bytes, 1) && whole == lines_of(bytes, 7));
    return 0;
}
