#include "recipes/document/diagnostic.hpp"

namespace padtrim::document {
namespace {

bool starts_character(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

// Blanks up to the column; tabs stay tabs, so that the caret stands right in any editor.
std::string indent_to(const std::string& line, int column) {
    std::string indent;
    int at = 1;
    for (const char c : line) {
        if (!starts_character(c)) continue;
        if (at++ >= column) break;
        indent += c == '\t' ? '\t' : ' ';
    }
    return indent;
}

}  // namespace

std::string text_of(const Diagnostic& diagnostic) {
    std::string text = diagnostic.file + ':' + std::to_string(diagnostic.line) + ':' +
                       std::to_string(diagnostic.column) + ": " + diagnostic.message + '\n';
    if (!diagnostic.source_line.empty()) {
        text += "    " + diagnostic.source_line + "\n    " +
                indent_to(diagnostic.source_line, diagnostic.column) + "^\n";
    }
    return text + "  " + diagnostic.mend + '\n';
}

std::string text_of(const std::vector<Diagnostic>& diagnostics) {
    std::string text;
    for (const auto& each : diagnostics) text += (text.empty() ? "" : "\n") + text_of(each);
    return text;
}

}  // namespace padtrim::document
