// A lot at a glance, for a page that is left open all day: its tape, each key's control chart at
// the key's place, where units fail, yield over time, and the only thing to do next.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/answers/control_answer.hpp"
#include "station/answers/dispositions.hpp"
#include "station/answers/failure_map.hpp"
#include "station/answers/in_doubt.hpp"
#include "station/answers/lot_report.hpp"
#include "station/answers/yield_answer.hpp"

namespace padtrim::answers {

struct OverviewAnswer {
    std::optional<LotReport> lot;  // the one asked for, or the newest that was to adjust
    std::string
        drawn_lot;         // whose charts follow: its own, or while it has no result the one before
    ControlAnswer charts;  // of that lot's newest units
    FailureMap failures;
    YieldAnswer yields;            // by day, or by lot where there are few days
    std::size_t waiting = 0;       // units of any lot that are quarantined
    std::size_t alarms = 0;        // of frozen charts, without a reply
    std::optional<InDoubt> doubt;  // while a shift check blocks the lot's station
};

// What a person is to do, and where it is done.
struct NextAct {
    std::string sentence;
    std::string about;  // "lot", "in doubt", "dispositions", "alarms", "chart" or "nothing"
    std::optional<ledger::CheckPlace> place = {};  // of a chart
};

inline constexpr std::size_t newest_charted = 300, newest_groups = 20;
[[nodiscard]] journal::Stored<OverviewAnswer> quality_overview(ledger::Reader& reader,
                                                               const QualityWish& wish);

[[nodiscard]] NextAct next_act(const OverviewAnswer& answer);
// Whether a chart signals more often than it would by chance, with so many charts looked at: its
// alarms (runs of signals) beside those of a Poisson process with its false alarms, at 1 % of all
// charts together. Pure.
[[nodiscard]] bool signals_more_than_chance(const PlaceControl& place, std::size_t charts);

[[nodiscard]] Json to_json(const OverviewAnswer& answer);
[[nodiscard]] Sheet sheet_of(const OverviewAnswer& answer);

}  // namespace padtrim::answers
