// Releases, permits and changes as text. Pure.
#pragma once

#include "station/answers/releases.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim::cli {

[[nodiscard]] Lines releases_text(const std::vector<record::Release>& releases, const Paper& paper);
// Of each permit the units that ran under it.
struct PermitUse {
    record::Permit permit;
    std::vector<ledger::RunSummary> runs;
};
[[nodiscard]] Lines permits_text(const std::vector<PermitUse>& permits, const Paper& paper);
[[nodiscard]] Lines changes_text(const answers::ChangesAnswer& answer, const Paper& paper);
// One sentence a change, indented.
[[nodiscard]] Lines change_lines(const language::Changes& changes);

}  // namespace padtrim::cli
