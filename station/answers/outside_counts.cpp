#include "station/answers/outside_counts.hpp"

#include <limits>

namespace padtrim::answers {

// Without a branch in the loop: it goes over tens of millions of values.
void OutsideCount::add(std::span<const double> some, const quality::SpecLimits& limits) {
    const double low = limits.low.value_or(-std::numeric_limits<double>::infinity());
    const double high = limits.high.value_or(std::numeric_limits<double>::infinity());
    std::uint64_t under = 0, over = 0;
    for (const double value : some) {
        under += value < low ? 1 : 0;
        over += value > high ? 1 : 0;
    }
    values += some.size();
    below += under;
    above += over;
}

journal::Stored<std::vector<PlaceOutside>> outside_counts(ledger::Reader& reader,
                                                          const ledger::RollupFilter& filter,
                                                          const ledger::PlaceFilter& places,
                                                          const quality::SpecLimits& limits) {
    std::vector<OutsideCount> counts;
    const auto named = ledger::RollupReader(reader).stream(
        filter, places, [&](std::size_t place, std::span<const double> some) {
            if (counts.size() <= place) counts.resize(place + 1);
            counts[place].add(some, limits);
        });
    if (!named) return named.error();
    counts.resize(named->size());
    std::vector<PlaceOutside> found;
    for (std::size_t i = 0; i < counts.size(); ++i)
        if (counts[i].values > 0) found.push_back({(*named)[i], counts[i]});
    return found;
}

}  // namespace padtrim::answers
