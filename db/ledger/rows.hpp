// What the ledger's writer does with its rows, one function a call of the journal. Each runs inside
// a transaction that the caller keeps when it gives a value and drops otherwise.
//
// SQLite's errors pass as SQLite::Exception; calls out of order are StoreFaults.
#pragma once

#include <string>
#include <vector>

#include "db/journal/journal.hpp"
#include "db/ledger/database.hpp"
#include "db/record/audit_entry.hpp"
#include "db/record/chart_alarm.hpp"
#include "db/record/contact_count.hpp"
#include "db/record/release.hpp"
#include "db/record/sampling.hpp"
#include "db/record/shift_check.hpp"
#include "db/record/upkeep.hpp"

namespace padtrim::ledger::rows {

template <class T>
using Stored = journal::Stored<T>;

Stored<record::LotId> open_lot(Database& database, const record::LotStart& start);
Stored<record::LotCount> count(Database& database, record::LotId lot);
Stored<void> close_lot(Database& database, record::LotId lot, record::WallTime at);
Stored<void> set_aside(Database& database, const record::SetAside& unit);

Stored<record::UnitStanding> standing(Database& database, record::LotId lot,
                                      const std::string& serial);
Stored<record::RunId> start_run(Database& database, const record::RunStart& start);
Stored<void> intend(Database& database, record::RunId run, const record::WriteIntent& intent);
Stored<void> reached(Database& database, record::RunId run, record::WriteStage stage);
Stored<void> finish(Database& database, record::RunId run, const record::UnitRecord& unit);
Stored<std::vector<record::UnfinishedRun>> unfinished(Database& database,
                                                      const std::string& station);
Stored<void> settle(Database& database, record::RunId run, record::Disposition disposition,
                    const std::string& reason, record::WallTime at);
// A person's decision on an ended run's unit.
Stored<void> decide(Database& database, record::RunId run, record::Disposition disposition,
                    const std::string& who, const std::string& reason, record::WallTime at);

Stored<std::int64_t> release(Database& database, const record::Release& release);
Stored<void> withdraw(Database& database, std::int64_t release, const std::string& who,
                      const std::string& why, record::WallTime at);
Stored<std::int64_t> permit(Database& database, const record::Permit& permit);

Stored<std::int64_t> keep_shift_check(Database& database, const record::ShiftCheck& check);
Stored<void> restart_charts(Database& database, const record::ChartRestart& restart);
void keep_readiness(Database& database, std::int64_t opening,
                    const record::StationReadiness& readiness);

Stored<std::int64_t> begin_downtime(Database& database, const record::Downtime& downtime);
Stored<void> end_downtime(Database& database, const std::string& station, const std::string& who,
                          record::WallTime at);
// Of some hundred runs at most; none left when the answer has none.
Stored<record::Removal> remove_observations(Database& database, const record::Removal& wanted);

Stored<void> freeze_charts(Database& database, const std::vector<record::FrozenChart>& charts);
// How many alarms are new.
Stored<std::size_t> keep_looks(Database& database, const std::vector<record::ChartLook>& looks);
Stored<void> reply_to_alarm(Database& database, std::int64_t alarm,
                            const record::AlarmReply& reply);

Stored<std::int64_t> keep_sampling_plan(Database& database, const record::SamplingPlan& plan);
Stored<std::int64_t> keep_sampled_lot(Database& database, std::int64_t plan,
                                      const record::SampledLot& lot);
Stored<void> keep_sampling_result(Database& database, const record::SampledLot& lot);
Stored<void> resume_sampling(Database& database, std::int64_t plan,
                             const record::SamplingResumption& resumption);

Stored<void> count_contacts(Database& database, const record::ContactCounts& counts);
Stored<void> replace_contacts(Database& database, const record::ContactReplacement& replacement);

Stored<void> keep_audit(Database& database, const record::AuditEntry& entry);

// The station's row, made when it is new.
std::int64_t station_row(Database& database, const std::string& name);
// A plan's text, once; a fault when its hash is known with another text.
Stored<void> keep_plan(Database& database, const record::PlanCopy& plan);
void keep_permission(Database& database, std::int64_t opening,
                     const record::Permission& permission);

// What the functions above ask first. The opening that new runs of an open lot belong to:
Stored<std::int64_t> open_opening(Database& database, record::LotId lot);
// A value when the run is there and has not ended.
Stored<void> must_be_running(Database& database, record::RunId run);
record::WriteStage stage_reached(Database& database, record::RunId run);
void insert_stage(Database& database, record::RunId run, record::WriteStage stage);
journal::StoreFault wrong_stage(record::RunId run, record::WriteStage from, record::WriteStage to);

}  // namespace padtrim::ledger::rows
