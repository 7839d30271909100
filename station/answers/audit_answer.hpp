// The audit as JSON and as a sheet. Pure.
#pragma once

#include <vector>

#include "db/record/audit_entry.hpp"
#include "station/answers/chart.hpp"

namespace padtrim::answers {

[[nodiscard]] Json to_json(const std::vector<record::AuditEntry>& entries);
[[nodiscard]] Sheet sheet_of(const std::vector<record::AuditEntry>& entries);

}  // namespace padtrim::answers
