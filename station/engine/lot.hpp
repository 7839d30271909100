// What the nests of one lot share: parts, plan, options, the finger's turns, the records, how many
// units may still be loaded, and whether the lot has to end.
//
// Threading: the lot's io_context. Owned by LotRun; outlives its nests.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "fixtures/port/turns.hpp"
#include "station/engine/act.hpp"
#include "station/engine/contact_counter.hpp"
#include "station/engine/duration.hpp"
#include "station/engine/lot_run.hpp"
#include "station/engine/records.hpp"
#include "station/engine/settlement.hpp"
#include "station/engine/stack_light.hpp"

namespace padtrim::engine {

class Lot {
  public:
    Lot(Parts own_parts, language::PlanPtr whole_plan, LotOptions how, EventSink events,
        AskForUnit person, WriteBackPoint write_back_point);

    ContactCounter contacts;  // stands before the relay bank of the parts
    const Parts parts;
    const language::PlanPtr plan;     // as hashed
    const language::PlanPtr working;  // without the write-back when measuring only
    const LotOptions options;
    const AskForUnit ask;
    const WriteBackPoint point;
    const UnitDuration duration;  // of `working`

    port::Turns finger;
    Records records;
    mutable StackLightDriver light;
    record::LotId id = 0;
    record::LotCount count;
    // Called once when the lot has to end, for nests that wait for a person.
    std::vector<std::function<void()>> stop_waiting;

    void tell(const Event& event) const;
    void log(LogLevel level, const std::string& line) const;

    // Whoever looks or tries takes any unit.
    [[nodiscard]] SecondRuns second_runs() const;
    // One more unit may be loaded; given back when none came, or when it was counted already.
    [[nodiscard]] bool claim();
    void give_back_claim();

    void stop_loading();
    [[nodiscard]] bool loading_stopped() const { return loading_stopped_; }
    // Why a permit lets no more units be loaded; "" while it does.
    [[nodiscard]] const std::string& permit_ended() const { return permit_ended_; }
    // A fault of station or fixture: units at work end their step and go to the safe state.
    void end_by(const record::FaultNote& fault, std::uint16_t nest);
    [[nodiscard]] const std::optional<record::FaultNote>& ended_by() const { return ended_by_; }
    // One nest loads no more; the others go on.
    void close_nest(const record::FaultNote& fault, std::uint16_t nest);
    // What a person has to look at before the lot goes on; "" when nothing.
    [[nodiscard]] const std::string& trouble() const { return trouble_; }
    [[nodiscard]] bool store_failed() const { return records.store_fault().has_value(); }

    [[nodiscard]] Act<void> open();
    // Counts what the lot has, once the runs that a stop cut off are settled, and tells it.
    [[nodiscard]] Act<void> take_stock();
    [[nodiscard]] Act<void> recount();
    // How often contacts worked since the last time, into the books.
    [[nodiscard]] Act<void> keep_counts();
    // The same, from time to time: called after each unit.
    [[nodiscard]] Act<void> keep_counts_sometimes();

  private:
    [[nodiscard]] bool permitted();
    bool end_of_permit(const std::string& how);
    const EventSink sink_;
    mutable ConditionOfLot condition_;
    unsigned units_since_counts_ = 0;
    std::uint32_t claimed_ = 0;
    std::uint32_t claimed_here_ = 0;  // since this opening
    bool loading_stopped_ = false;
    std::string permit_ended_;
    std::optional<record::FaultNote> ended_by_;
    std::string trouble_;
};

}  // namespace padtrim::engine
