// What a face needs for work by hand on a fixture: the finger's travel, nests in it, every
// reference step with its certified value and dates. From the plan alone. And the work itself as
// JSON.
#pragma once

#include <chrono>
#include <string>

#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"
#include "station/engine/hand_run.hpp"

namespace padtrim::answers {

struct FixtureSheet {
    std::string fixture, revision;
    std::vector<language::Nest> nests;
    std::optional<language::Finger> finger;
    std::string no_motion;  // why the finger may not be moved by hand, "" when it may
    language::EquipmentRecord equipment;
    std::string expired;  // a sentence once recalibration is due, "" before
};
[[nodiscard]] FixtureSheet fixture_sheet(const language::Plan& plan, record::WallTime now);
[[nodiscard]] Json to_json(const FixtureSheet& sheet);

// Who works by hand on the fixture. Nobody: `who` "" and state over.
struct FixtureHold {
    bool held = false;
    std::string who;
    std::chrono::milliseconds left{0}, lease{0};
    engine::HandStanding work;  // of the newest hold, after its end too
};
[[nodiscard]] Json to_json(const FixtureHold& hold);

}  // namespace padtrim::answers
