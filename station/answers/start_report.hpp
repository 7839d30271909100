// Whether a lot may begin now, as a face says it before anybody tries: every obstacle with its way
// out. Pure, but for asking the ledger.
#pragma once

#include <string>
#include <vector>

#include "station/answers/readiness.hpp"
#include "station/answers/releases.hpp"
#include "station/answers/station_status.hpp"

namespace padtrim::answers {

enum class ObstacleAt { fault, ports, plan, check, records };
[[nodiscard]] std::string_view name_of(ObstacleAt at);

struct Obstacle {
    ObstacleAt at = ObstacleAt::fault;
    std::string sentence;      // what is in the way, and the way out
    bool draft_helps = false;  // a draft goes on in spite of it, and every result is marked
};

struct StartReport {
    std::vector<Obstacle> obstacles;
    std::string permission;  // by whose word the plan runs, "" when it may not
    std::string readiness;   // how old the last good shift check is, or that none is asked for
    [[nodiscard]] bool free() const { return obstacles.empty(); }
    [[nodiscard]] bool free_as_draft() const;
};

// `fault`: what a person has to clear, "" for nothing; `ports`: which are missing, "" for none.
[[nodiscard]] StartReport start_report(ledger::Reader& reader, const language::Plan& plan,
                                       const std::string& station, const std::string& fault,
                                       const std::string& ports, record::WallTime now);
// The next sentence, unless a lot would be started and what it needs first is a release.
[[nodiscard]] std::string before_start(std::string sentence, const StartReport& report);
[[nodiscard]] Json to_json(const StartReport& report);

}  // namespace padtrim::answers
