#include "recipes/language/text_form.hpp"

#include <algorithm>
#include <array>

#include "recipes/document/nearest.hpp"

namespace padtrim::language {
namespace {

constexpr std::array<std::string_view, 6> slot_names = {"value", "values", "channel",
                                                        "text",  "bits",   "any"};
constexpr std::size_t longest_form = 200;

ParsedForm wrong(std::string problem, std::string mend) {
    return {{}, std::move(problem), std::move(mend)};
}

bool is_number_part(char c) {
    return (c >= '0' && c <= '9') || c == 'x' || c == 'X';
}

// What would be read as part of the value before it.
bool runs_on(Slot slot, char next) {
    switch (slot) {
        case Slot::value:
        case Slot::values:
        case Slot::channel:
            return is_number_part(next) || (next >= 'a' && next <= 'f') ||
                   (next >= 'A' && next <= 'F');
        case Slot::bits:
            return next == '0' || next == '1';
        case Slot::text:
        case Slot::any:
            return false;
    }
    return false;
}

ParsedForm checked(TextForm form) {
    for (std::size_t i = 0; i + 1 < form.pieces.size(); ++i) {
        const auto& next = form.pieces[i + 1];
        if (next.literal.empty() && next.slot)
            return wrong("two places follow each other in this form",
                         "Put something between them: \"{channel}={value}\", say.");
        if (!next.literal.empty() && runs_on(*form.pieces[i].slot, next.literal.front()))
            return wrong("\"" + next.literal + "\" behind a number could be part of it",
                         "Put a blank or another character between them.");
    }
    return {std::move(form), "", ""};
}

}  // namespace

bool TextForm::has(Slot slot) const {
    return std::any_of(pieces.begin(), pieces.end(),
                       [&](const FormPiece& piece) { return piece.slot == slot; });
}

bool TextForm::has_places() const {
    return std::any_of(pieces.begin(), pieces.end(),
                       [](const FormPiece& piece) { return piece.slot.has_value(); });
}

ParsedForm parse_form(std::string_view text) {
    if (text.size() > longest_form)
        return wrong("this form is longer than 200 characters", "Write a shorter one.");
    if (std::any_of(text.begin(), text.end(), [](char c) { return c < ' ' || c > '~'; }))
        return wrong("this form has characters that are not printable ASCII",
                     "The end of a line is said by ending, not here.");
    TextForm form;
    while (true) {
        const auto open = text.find('{');
        FormPiece piece{std::string(text.substr(0, open)), std::nullopt};
        if (open == std::string_view::npos) {
            if (!piece.literal.empty()) form.pieces.push_back(std::move(piece));
            return checked(std::move(form));
        }
        const auto close = text.find('}', open);
        if (close == std::string_view::npos)
            return wrong("a { is not closed in this form", "Write } behind the place's name.");
        const auto name = text.substr(open + 1, close - open - 1);
        const auto known = std::find(slot_names.begin(), slot_names.end(), name);
        if (known == slot_names.end())
            return wrong("there is no place {" + std::string(name) + "}",
                         document::suggestion(name, slot_names));
        piece.slot = static_cast<Slot>(known - slot_names.begin());
        form.pieces.push_back(std::move(piece));
        text.remove_prefix(close + 1);
    }
}

TextForm form_of(std::string_view text) {
    return parse_form(text).form;
}

}  // namespace padtrim::language
