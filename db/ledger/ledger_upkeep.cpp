// Acts of people: decisions, releases, permits, checks, charts, sampling, upkeep.
#include "db/ledger/ledger_state.hpp"
#include "db/ledger/rows.hpp"

namespace padtrim::ledger {

Ledger::Task<Ledger::Stored<void>> Ledger::decide(record::RunId run,
                                                  record::Disposition disposition, std::string who,
                                                  std::string reason, record::WallTime at) {
    return perform<void>([run, disposition, who = std::move(who), reason = std::move(reason),
                          at](Database& database) {
        return rows::decide(database, run, disposition, who, reason, at);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::release(record::Release release) {
    return perform<std::int64_t>([release = std::move(release)](Database& database) {
        return rows::release(database, release);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::withdraw(std::int64_t release, std::string who,
                                                    std::string why, record::WallTime at) {
    return perform<void>(
        [release, who = std::move(who), why = std::move(why), at](Database& database) {
            return rows::withdraw(database, release, who, why, at);
        });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::permit(record::Permit permit) {
    return perform<std::int64_t>([permit = std::move(permit)](Database& database) {
        return rows::permit(database, permit);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::keep_shift_check(record::ShiftCheck check) {
    return perform<std::int64_t>([check = std::move(check)](Database& database) {
        return rows::keep_shift_check(database, check);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::replace_contacts(
    record::ContactReplacement replacement) {
    return perform<void>([replacement = std::move(replacement)](Database& database) {
        return rows::replace_contacts(database, replacement);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::restart_charts(record::ChartRestart restart) {
    return perform<void>([restart = std::move(restart)](Database& database) {
        return rows::restart_charts(database, restart);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::begin_downtime(record::Downtime downtime) {
    return perform<std::int64_t>([downtime = std::move(downtime)](Database& database) {
        return rows::begin_downtime(database, downtime);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::end_downtime(std::string station, std::string who,
                                                        record::WallTime at) {
    return perform<void>(
        [station = std::move(station), who = std::move(who), at](Database& database) {
            return rows::end_downtime(database, station, who, at);
        });
}

Ledger::Task<Ledger::Stored<record::Removal>> Ledger::remove_observations(record::Removal removal) {
    for (;;) {
        const auto act = [removal](Database& database) {
            return rows::remove_observations(database, removal);
        };
        const Stored<record::Removal> removed = co_await perform<record::Removal>(act);
        if (!removed) co_return removed.error();
        if (removed->id == 0) co_return removal;
        removal.runs += removed->runs;
        removal.bytes += removed->bytes;
    }
}

Ledger::Task<Ledger::Stored<void>> Ledger::keep_audit(record::AuditEntry entry) {
    return perform<void>([entry = std::move(entry)](Database& database) {
        return rows::keep_audit(database, entry);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::freeze_charts(std::vector<record::FrozenChart> charts) {
    return perform<void>([this, charts = std::move(charts)](Database& database) {
        state_->chain->look_for_acts();
        return rows::freeze_charts(database, charts);
    });
}

Ledger::Task<Ledger::Stored<std::size_t>> Ledger::keep_looks(std::vector<record::ChartLook> looks) {
    return perform<std::size_t>([this, looks = std::move(looks)](Database& database) {
        state_->chain->look_for_acts();
        return rows::keep_looks(database, looks);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::reply_to_alarm(std::int64_t alarm,
                                                          record::AlarmReply reply) {
    return perform<void>([this, alarm, reply = std::move(reply)](Database& database) {
        state_->chain->look_for_acts();
        return rows::reply_to_alarm(database, alarm, reply);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::keep_sampling_plan(record::SamplingPlan plan) {
    return perform<std::int64_t>([plan = std::move(plan)](Database& database) {
        return rows::keep_sampling_plan(database, plan);
    });
}

Ledger::Task<Ledger::Stored<std::int64_t>> Ledger::keep_sampled_lot(std::int64_t plan,
                                                                    record::SampledLot lot) {
    return perform<std::int64_t>([plan, lot = std::move(lot)](Database& database) {
        return rows::keep_sampled_lot(database, plan, lot);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::keep_sampling_result(record::SampledLot lot) {
    return perform<void>([lot = std::move(lot)](Database& database) {
        return rows::keep_sampling_result(database, lot);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::resume_sampling(std::int64_t plan,
                                                           record::SamplingResumption resumption) {
    return perform<void>([plan, resumption = std::move(resumption)](Database& database) {
        return rows::resume_sampling(database, plan, resumption);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::set_shift_hours(record::ShiftHoursChange change) {
    return perform<void>([change = std::move(change)](Database& database) {
        return rows::set_shift_hours(database, change);
    });
}

Ledger::Task<Ledger::Stored<void>> Ledger::rebuild_rollups() {
    return perform<void>([this](Database& database) -> Stored<void> {
        state_->rollups->forget();
        rows::rebuild_rollups(database);
        return {};
    });
}

}  // namespace padtrim::ledger
