// Words for what the statistics of quality answer, for tables, pages and exports. Pure.
#pragma once

#include <string_view>

#include "db/quality/capability.hpp"
#include "db/quality/compare_shares.hpp"
#include "db/quality/drift.hpp"
#include "db/quality/run_rules.hpp"
#include "db/quality/sampling.hpp"
#include "db/quality/shared_change.hpp"

namespace padtrim::quality {

[[nodiscard]] std::string_view name_of(ShareTest test);
[[nodiscard]] std::string_view name_of(Model model);
[[nodiscard]] std::string_view name_of(RunRule rule);
[[nodiscard]] std::string_view name_of(Drift drift);
[[nodiscard]] std::string_view name_of(Whose whose);
[[nodiscard]] std::string_view name_of(Severity severity);

}  // namespace padtrim::quality
