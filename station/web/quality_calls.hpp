// The quality team's questions over HTTP: the same answers as the commands', with the same names
// for what they are narrowed to. Each is told as JSON of its own numbers (as --json tells it), as a
// sheet of figures and tables (format=sheet), or as the CSV of one figure's table (format=csv,
// figure=ID).
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "db/ledger/reader.hpp"
#include "station/web/message.hpp"

namespace padtrim::web {

using RecordAnswer = Response (*)(ledger::Reader&, const std::string& query);

// What answers the GET of this path, or null.
[[nodiscard]] RecordAnswer quality_call(std::string_view path);

// The file of records could not be read, or answered no question.
[[nodiscard]] Response not_readable(const journal::StoreFault& fault);

}  // namespace padtrim::web
