// JSON Schema (draft 2020-12) of the three documents, made from the declarations that read them, so
// that an editor completes keys, shows their meaning and underlines what is wrong.
//
// A schema sees one document and no numbers inside texts: `padtrim check` sees more. What a schema
// refuses, `padtrim check` refuses too. Pure.
#pragma once

#include <string>

#include "station/answers/documents_check.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

// `kind` is one of the three known ones.
[[nodiscard]] Json document_schema(DocumentKind kind);

// Indented by two blanks, one member a line.
[[nodiscard]] std::string pretty_text(const Json& json);

}  // namespace padtrim::answers
