#include "station/answers/station_tally.hpp"

namespace padtrim::answers {

LinkTally& LinkTally::operator+=(const LinkTally& more) {
    transactions += more.transactions;
    retries += more.retries;
    silent += more.silent;
    garbled += more.garbled;
    failed += more.failed;
    return *this;
}

void StationTally::apply(const engine::Event& event) {
    if (const auto* finished = std::get_if<engine::UnitFinished>(&event))
        ++units.at(static_cast<std::size_t>(finished->result.verdict));
    if (std::holds_alternative<engine::UnitSetAside>(event)) ++removed;
    if (std::holds_alternative<engine::FaultSeen>(event)) ++faults;
}

}  // namespace padtrim::answers
