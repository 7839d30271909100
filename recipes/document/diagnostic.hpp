// One problem of a document: what, where, and how to mend it.
//
// Plain values; line and column count from 1 and columns count characters, as editors do. A
// problem of the whole file stands at 1:1 and has no source line.
#pragma once

#include <string>
#include <vector>

namespace padtrim::document {

struct Diagnostic {
    std::string file;
    int line = 1, column = 1;
    std::string message;      // what is wrong, one sentence without a full stop
    std::string mend;         // what to do about it, one sentence
    std::string source_line;  // the offending line as it stands in the file
    friend bool operator==(const Diagnostic&, const Diagnostic&) = default;
};

// "file:line:column: message", the offending line, a caret under the column, the mend.
[[nodiscard]] std::string text_of(const Diagnostic& diagnostic);
// All of them, an empty line between two.
[[nodiscard]] std::string text_of(const std::vector<Diagnostic>& diagnostics);

}  // namespace padtrim::document
