// Plans as they were stored, read once a Reader: a plan's text takes milliseconds to read, and what
// a hash stands for never changes.
#pragma once

#include <string>

#include "db/ledger/reader.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::answers {

// Null where there is none, or it cannot be read any more.
[[nodiscard]] journal::Stored<language::PlanPtr> stored_plan(ledger::Reader& reader,
                                                             const std::string& hash);

}  // namespace padtrim::answers
