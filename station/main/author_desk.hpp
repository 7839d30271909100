// The daemon's own recipe for whoever answers for it: what became of it, and decisions about it,
// while the daemon holds the records. Threading: calls come from the daemon's io_context; the work
// they give is done on another thread, and waits there until the ledger's writer has answered.
// Everything handed in outlives that work.
#pragma once

#include <string>

#include "db/ledger/ledger.hpp"
#include "fixtures/serial/clocks.hpp"
#include "station/web/author_control.hpp"

namespace padtrim {

class AuthorDesk final : public web::AuthorControl {
  public:
    AuthorDesk(ledger::Ledger& ledger, std::string records, language::PlanPtr plan)
        : ledger_(ledger), records_(std::move(records)), plan_(std::move(plan)) {}

    [[nodiscard]] Sheet sheet() const override;
    Work release(std::string who, std::string why) override;
    Work withdraw(std::int64_t release, std::string who, std::string why) override;
    Work permit(answers::PermitWish wish) override;

  private:
    ledger::Ledger& ledger_;
    const std::string records_;
    const language::PlanPtr plan_;
    serial::SystemWallClock wall_clock_;
};

}  // namespace padtrim
