// The last unit of each nest as it still lies there, or should lie in the reject bin: what a face
// draws while the nest waits, and which rejected units nobody has put away yet.
//
// Built by folding events beside the status; pure. A person's hands put units of nests without a
// handler away and say so; a handler sorts its own.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "station/answers/json.hpp"
#include "station/answers/station_status.hpp"

namespace padtrim::answers {

struct LyingUnit {
    NestStatus nest;          // as it was when the unit finished
    bool to_confirm = false;  // a person still has to say that it lies apart
};

class LyingUnits {
  public:
    explicit LyingUnits(std::set<std::uint16_t> by_hand = {}) : by_hand_(std::move(by_hand)) {}

    // After answers::apply(status, event).
    void apply(const StationStatus& status, const engine::Event& event);
    // The serial of the unit that lies apart now, and what was to be done with it is no longer
    // asked for; nothing when none of this nest waits for it.
    std::optional<std::string> confirm(StationStatus& status, std::uint16_t nest);
    [[nodiscard]] const std::vector<LyingUnit>& all() const { return units_; }

  private:
    void forget(std::uint16_t nest);
    std::set<std::uint16_t> by_hand_;
    std::vector<LyingUnit> units_;
};

// As next_sentence(status), but a rejected unit is put away before the next one comes.
[[nodiscard]] std::string next_sentence(const StationStatus& status,
                                        const std::vector<LyingUnit>& lying);
[[nodiscard]] Json to_json(const std::vector<LyingUnit>& lying);

}  // namespace padtrim::answers
