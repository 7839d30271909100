// Whether a lot may begin now, as a face says it before anybody tries: every obstacle with its way
// out. Pure, but for asking the ledger.
#pragma once

#include <string>
#include <vector>

#include "station/answers/readiness.hpp"
#include "station/answers/releases.hpp"
#include "station/answers/station_status.hpp"
#include "station/engine/rest_watch.hpp"

namespace padtrim::answers {

enum class ObstacleAt { fault, guard, ports, plan, check, records };
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

// What the station itself has in the way; each a sentence with its way out, "" for nothing.
struct StationTrouble {
    std::string fault;  // that a person has to clear
    std::string guard;  // or emergency stop, open while nothing runs
    std::string ports;  // missing, silent, or of another fixture
};
// How guard, emergency stop and relay board were found at rest.
[[nodiscard]] StationTrouble trouble_of(const engine::RestFinding& found);

[[nodiscard]] StartReport start_report(ledger::Reader& reader, const language::Plan& plan,
                                       const std::string& station, const StationTrouble& trouble,
                                       record::WallTime now);
// The next sentence, unless a lot or a check would be started and something else comes first: the
// guard, a port, a release.
[[nodiscard]] std::string before_start(std::string sentence, const StartReport& report);
[[nodiscard]] Json to_json(const StartReport& report);

}  // namespace padtrim::answers
