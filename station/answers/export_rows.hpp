// Stored results row by row, for other programs: CSV to RFC 4180, or a JSON object a line. Rows are
// given on as they are read, so that an export needs no memory for a year of units.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

// units: a run a row; checks: a value a row; lines: gain and offset of a channel; readings: raw
// counts, one a channel and frequency.
enum class ExportOf { units, checks, lines, readings };
[[nodiscard]] std::optional<ExportOf> export_of(std::string_view name);

enum class ExportAs { csv, json_lines };
using TakeText = std::function<void(const std::string&)>;

// Every ended run, not first tries only.
[[nodiscard]] journal::Stored<void> export_rows(ledger::Reader& reader, const QualityWish& wish,
                                                ExportOf what, record::Stage stage, ExportAs as,
                                                const TakeText& take);

}  // namespace padtrim::answers
