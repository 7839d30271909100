// What a unit's past means for it: the run that a stop of the station cut off (from the last stage
// that was durable), and whether a unit of this standing may be run again. Pure; sentences for a
// person.
#pragma once

#include <climits>
#include <cstdint>
#include <string>

#include "db/record/run.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::engine {

struct Settlement {
    record::Disposition disposition = record::Disposition::undecided;
    std::string reason;  // a sentence or two: what is known of the unit, what to do
};

[[nodiscard]] Settlement settlement_of(record::WriteStage stage);

// Why a unit is set aside and not run, and what to do with it: a sentence or two each; both "" when
// it may run.
struct NotRun {
    std::string reason, act;
    [[nodiscard]] bool empty() const { return reason.empty(); }
    // As the records keep it.
    [[nodiscard]] std::string text() const { return act.empty() ? reason : reason + " " + act; }
};
// What a lot allows a unit whose past, in whatever lot, speaks against another run.
struct SecondRuns {
    bool after_a_pass = false;           // that passed in another lot
    unsigned without_a_pass = UINT_MAX;  // so many until a person decides
};
// A rejected unit may be run again when somebody loads it again, but not when it merely lies in the
// nest from before a stop.
[[nodiscard]] NotRun why_not_again(const record::UnitStanding& standing, bool left_over,
                                   const SecondRuns& allowed);
// Check standards are never run in production, and nothing else in a shift check.
[[nodiscard]] NotRun out_of_place(const language::FixtureProfile& fixture, bool shift_check,
                                  const std::string& serial);
[[nodiscard]] NotRun lot_is_full(std::uint32_t units);
// A label, where one was scanned, and the unit's own serial number. Swapped units and wrong labels
// look alike: nothing is done to the unit, and a person looks.
[[nodiscard]] NotRun label_differs(std::uint16_t nest, const std::string& label,
                                   const std::string& serial);
[[nodiscard]] NotRun another_product(const language::RegisterMap& map, std::uint32_t product_code);

}  // namespace padtrim::engine
