// Names that people give: lot, station, operator. Pure.
#pragma once

#include <string>
#include <string_view>

namespace padtrim::answers {

// Why `name` cannot name `what`, with what to do, or "". A name is one line of at most 64 visible
// characters: it stands in records, on screens and in file names of reports.
[[nodiscard]] std::string wrong_with_name(std::string_view what, std::string_view name);

}  // namespace padtrim::answers
