// The measurements of a shift check: every check standard and the challenge unit in every nest, one
// nest after the other, since each of them is there once.
//
// A nest is a lot of its own that measures only, in which nothing but those units is run; they may
// come in any order. Nothing is judged here beyond each unit's own result. Threading, safe state
// and ownership as of LotRun.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "db/record/shift_check.hpp"
#include "station/engine/lot_run.hpp"

namespace padtrim::engine {

struct ShiftOutcome {
    std::vector<record::MeasuredStandard> measured;
    std::vector<std::string> lots;
    bool station_fault = false;
    // What ended it before its end: a fault, a person, or units that did not come; "" when all were
    // measured.
    std::string reason;
};

class ShiftRun {
  public:
    // `options.lot` begins the names of its lots. The plan's fixture has a shift check.
    ShiftRun(Parts parts, language::PlanPtr plan, LotOptions options, EventSink sink,
             AskForUnit ask = {});
    ~ShiftRun();
    ShiftRun(const ShiftRun&) = delete;
    ShiftRun& operator=(const ShiftRun&) = delete;

    [[nodiscard]] boost::asio::awaitable<ShiftOutcome> run();
    void abort();         // the unit at work gets no verdict, and no other is loaded
    void stop_loading();  // running ones end in order

  private:
    [[nodiscard]] boost::asio::awaitable<void> run_nest(const NestParts& nest);
    void take(const Event& event);
    void note_missing(std::uint16_t nest);

    const Parts parts_;
    const language::PlanPtr plan_;
    const LotOptions options_;
    const EventSink sink_;
    const AskForUnit ask_;
    ShiftOutcome outcome_;
    std::unique_ptr<LotRun> lot_;
    bool stopped_ = false;
};

}  // namespace padtrim::engine
