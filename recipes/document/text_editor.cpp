#include "recipes/document/text_editor.hpp"

#include <algorithm>

namespace padtrim::document {

TextEditor::TextEditor(const std::string& text) : text_(text) {
    begins_.push_back(0);
    for (std::size_t at = 0; at < text.size(); ++at)
        if (text[at] == '\n') begins_.push_back(at + 1);
}

void TextEditor::replace(const Node* node, const std::string& with) {
    if (node == nullptr) return;
    const std::size_t at = offset(node->place);
    edits_.push_back({at, end_of(at) - at, with});
}

void TextEditor::add_behind(const Node& node, const std::string& line) {
    const std::size_t end = text_.find('\n', offset(node.place));
    const bool last = end == std::string::npos;
    edits_.push_back({last ? text_.size() : end, 0, '\n' + line});
}

std::string TextEditor::text() {
    std::stable_sort(edits_.begin(), edits_.end(),
                     [](const Edit& a, const Edit& b) { return a.at > b.at; });
    std::string out = text_;
    for (const Edit& edit : edits_) out.replace(edit.at, edit.length, edit.text);
    return out;
}

std::size_t TextEditor::offset(Place place) const {
    const auto line = static_cast<std::size_t>(std::max(place.line, 1) - 1);
    const auto column = static_cast<std::size_t>(std::max(place.column, 1) - 1);
    if (line >= begins_.size()) return text_.size();
    return std::min(begins_[line] + column, text_.size());
}

std::size_t TextEditor::end_of(std::size_t at) const {
    const char quote = at < text_.size() ? text_[at] : '\0';
    if (quote != '"' && quote != '\'')
        return std::min(text_.find_first_of(" \t\r\n,]}#", at), text_.size());
    std::size_t end = at + 1;
    while (end < text_.size() && text_[end] != quote)
        end += text_[end] == '\\' && quote == '"' ? 2 : 1;
    return std::min(end + 1, text_.size());
}

}  // namespace padtrim::document
