// The daemon's books for who says something for them alone. Threading: calls come from the daemon's
// io_context; the work they give is done on another thread, and waits there until the ledger's
// writer has answered. Everything handed in outlives that work.
#pragma once

#include <string>

#include "db/ledger/ledger.hpp"
#include "fixtures/serial/clocks.hpp"
#include "recipes/language/plan.hpp"
#include "station/web/books_control.hpp"

namespace padtrim {

class BooksDesk final : public web::BooksControl {
  public:
    BooksDesk(ledger::Ledger& ledger, std::string records, std::string station,
              language::PlanPtr plan)
        : ledger_(ledger),
          records_(std::move(records)),
          station_(std::move(station)),
          plan_(std::move(plan)) {}

    Work set_sampling_plan(web::SamplingPlanRequest request) override;
    Work choose_units(web::SampledUnitsRequest request) override;
    Work resume_sampling(web::SamplingResumptionRequest request) override;
    Work replace_contacts(web::ReplacementRequest request) override;

  private:
    ledger::Ledger& ledger_;
    const std::string records_, station_;
    const language::PlanPtr plan_;
    serial::SystemWallClock wall_clock_;
};

}  // namespace padtrim
