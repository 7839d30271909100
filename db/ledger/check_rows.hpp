// The checks of runs as the rows of check_result hold them.
#pragma once

#include <vector>

#include "db/ledger/statement.hpp"
#include "db/record/unit_result.hpp"

namespace padtrim::ledger {

class CheckRows {
  public:
    explicit CheckRows(Database& database);
    // In their order.
    [[nodiscard]] std::vector<record::CheckResult> of(record::RunId run);

  private:
    Query rows_;
};

}  // namespace padtrim::ledger
