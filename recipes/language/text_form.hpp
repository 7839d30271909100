// The form of one text line, as a register map of a product that talks in lines gives it: literal
// text with places for values. The same form makes a line and reads one (fixtures/codec/text_line).
//
//   "RAW {values}"     {value}    a whole number, decimal or 0x hexadecimal
//   "GT {channel}={value}"        {values}   several, with commas, semicolons or blanks between
//                      {channel}  the channel, from 0
//                      {text}     printable characters up to what follows
//                      {bits}     0 and 1, the first key first
//                      {any}      anything up to what follows; not looked at
//
// Blanks count as they stand. Plain values, pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace padtrim::language {

enum class Slot { value, values, channel, text, bits, any };

// Literal text (may be empty), then a place for a value unless the form ends there.
struct FormPiece {
    std::string literal;
    std::optional<Slot> slot;
    friend bool operator==(const FormPiece&, const FormPiece&) = default;
};

struct TextForm {
    std::vector<FormPiece> pieces;
    [[nodiscard]] bool has(Slot slot) const;
    [[nodiscard]] bool has_places() const;
};

// The form, or what is wrong with the text and how to mend it.
struct ParsedForm {
    TextForm form;
    std::string problem, mend;
    [[nodiscard]] bool good() const { return problem.empty(); }
};
[[nodiscard]] ParsedForm parse_form(std::string_view text);
// Of a text that was checked when the map was read; a form of nothing for any other.
[[nodiscard]] TextForm form_of(std::string_view text);

}  // namespace padtrim::language
