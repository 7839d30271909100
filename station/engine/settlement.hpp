// What a unit's past means for it: the run that a stop of the station cut off (from the last stage
// that was durable), and whether a unit of this standing may be run again. Pure; sentences for a
// person.
#pragma once

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

// What a lot does with a unit that passed in another lot.
enum class PassedBefore { set_aside, run_again };

// Why the unit is set aside and not run, or "". A rejected unit may be run again when somebody
// loads it again, but not when it merely lies in the nest from before a stop.
[[nodiscard]] std::string why_not_again(const record::UnitStanding& standing, bool left_over,
                                        PassedBefore passed_before);
// Check standards are never run in production, and nothing else in a shift check; "" when it may
// run.
[[nodiscard]] std::string out_of_place(const language::FixtureProfile& fixture, bool shift_check,
                                       const std::string& serial);
[[nodiscard]] std::string lot_is_full(std::uint32_t units);
[[nodiscard]] std::string another_product(const language::RegisterMap& map,
                                          std::uint32_t product_code);

}  // namespace padtrim::engine
