// Control charts that are kept with a recipe's revision: frozen by a person, looked at, and alarms
// replied to.
//
//   control_answer --charts_to_freeze--> ledger --look_at_charts--> alarms --reply_to_alarm--> done
//
// Alarms are made when somebody looks, not in the transaction of a unit: a chart needs the points
// before, a unit must become durable whatever a chart says, and nothing stops by an alarm alone. An
// alarm is kept once, however often and by whomever it is looked for, and each look begins where
// the last one ended. A share of lots cannot be frozen: its limits go with each lot's size.
#pragma once

#include <string>
#include <vector>

#include "db/ledger/ledger.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/control_answer.hpp"

namespace padtrim::answers {

// Of every place that has a chart with limits of its own.
[[nodiscard]] std::vector<record::FrozenChart> charts_to_freeze(const ControlAnswer& answer,
                                                                const ControlWish& wish,
                                                                const std::string& who,
                                                                const std::string& why,
                                                                record::WallTime at);
// The chart in force for a place, of these; null: none is frozen.
[[nodiscard]] const record::FrozenChart* frozen_for(const std::vector<ledger::KeptChart>& charts,
                                                    const std::string& recipe,
                                                    const std::string& revision,
                                                    const ledger::CheckPlace& place);
// The wish with everything that the frozen chart states.
[[nodiscard]] ControlWish wish_of(const record::FrozenChart& chart, ControlWish wish);

// What has come to every frozen chart since it was looked at last.
[[nodiscard]] journal::Stored<std::vector<record::ChartLook>> look_at_charts(ledger::Reader& reader,
                                                                             record::WallTime now);
// Looks, and keeps what it found; how many alarms are new. For whoever holds the ledger: the
// station at a lot's end, a page, the command.
[[nodiscard]] journal::Task<journal::Stored<std::size_t>> look_and_keep(ledger::Ledger& ledger,
                                                                        ledger::Reader& reader,
                                                                        record::WallTime now);

struct AlarmsAnswer {
    std::vector<record::ChartAlarm> alarms;  // newest first
    std::vector<ledger::KeptChart> charts;   // in force
    bool open_only = true;
};
[[nodiscard]] journal::Stored<AlarmsAnswer> alarms_answer(ledger::Reader& reader, bool open_only);
[[nodiscard]] Json to_json(const AlarmsAnswer& answer);
// null where nobody replied.
[[nodiscard]] Json reply_json(const std::optional<record::AlarmReply>& reply);
[[nodiscard]] Sheet sheet_of(const AlarmsAnswer& answer);

}  // namespace padtrim::answers
