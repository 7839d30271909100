// libFuzzer harness for lines of products that talk in text: the first line of the input is a form,
// the rest is what came over the link. Whatever comes in: no crash; a form that is refused says
// why; what was read is read again from the line that it makes, where each place stands once.
#include <cstdlib>
#include <set>

#include "fixtures/codec/text_line.hpp"

namespace {

void expect(bool holds) {
    if (!holds) std::abort();
}

// A line gives back what it was made of only when no two places share the content.
bool is_plain(const padtrim::language::TextForm& form) {
    std::set<padtrim::language::Slot> seen;
    std::size_t numbers = 0;
    for (const auto& piece : form.pieces) {
        if (!piece.slot) continue;
        using padtrim::language::Slot;
        if (!seen.insert(*piece.slot).second || *piece.slot == Slot::any) return false;
        numbers +=
            *piece.slot == Slot::value || *piece.slot == Slot::values || *piece.slot == Slot::bits;
    }
    return numbers <= 1;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view input(reinterpret_cast<const char*>(data), size);
    const auto end = input.find('\n');
    const auto parsed = padtrim::language::parse_form(input.substr(0, end));
    expect(parsed.good() != (!parsed.problem.empty() && !parsed.mend.empty()));
    const auto line = end == std::string_view::npos ? std::string_view() : input.substr(end + 1);
    const auto content = padtrim::codec::read_line(parsed.form, line);
    if (!content || !is_plain(parsed.form)) return 0;
    const auto again =
        padtrim::codec::read_line(parsed.form, padtrim::codec::made_line(parsed.form, *content));
    // Blanks at the end of a text do not survive the end of a line.
    expect(again.has_value() && again->values == content->values &&
           again->channel == content->channel);
    return 0;
}
