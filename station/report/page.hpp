// A report as one HTML page that needs nothing else: drawing sheets of A4 with border, figures,
// tables and title block. Every chart has its table, also where scripts are off. Nothing on the
// page may load anything (Content-Security-Policy), and every text from outside is escaped. Pure.
#pragma once

#include <string>
#include <string_view>

#include "station/answers/report.hpp"

namespace padtrim::report {

[[nodiscard]] std::string page_of(const answers::Report& report);

// For elements and attributes in double quotes; control characters and broken UTF-8 are shown.
[[nodiscard]] std::string escaped(std::string_view text);

}  // namespace padtrim::report
