// Sampling plans, the lots that they chose units of, and results, as rows.
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

Stored<std::int64_t> keep_sampling_plan(Database& database, const record::SamplingPlan& plan) {
    if (plan.who.empty() || plan.why.empty())
        return out_of_order("who set a sampling plan and why must be given");
    Query(database,
          "INSERT INTO sampling_plan (product, step, level, quality_limit, at, who, why)"
          " VALUES (?, ?, ?, ?, ?, ?, ?)")
        .with(plan.product, plan.step, plan.level, plan.quality_limit, plan.at, plan.who, plan.why)
        .run();
    return database.getLastInsertRowid();
}

Stored<std::int64_t> keep_sampled_lot(Database& database, std::int64_t plan,
                                      const record::SampledLot& lot) {
    Query known(database, "SELECT 1 FROM sampled_lot WHERE plan = ? AND lot = ?");
    if (known.with(plan, lot.lot).next())
        return out_of_order("units of lot '" + lot.lot + "' are chosen already");
    Query(database,
          "INSERT INTO sampled_lot (plan, lot, size, severity, letter, sample, accept, seed, at)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)")
        .with(plan, lot.lot, lot.size, lot.severity, lot.letter, lot.sample, lot.accept, lot.seed,
              lot.at)
        .run();
    return database.getLastInsertRowid();
}

Stored<void> keep_sampling_result(Database& database, const record::SampledLot& lot) {
    if (lot.who.empty() || !lot.nonconforming)
        return out_of_order("who found how many nonconforming units must be given");
    if (*lot.nonconforming > lot.sample)
        return out_of_order("more units are nonconforming than were looked at");
    if (Query(database, "SELECT 1 FROM sampled_lot_result WHERE sampled_lot = ?")
            .with(lot.id)
            .next())
        return out_of_order("the result of lot '" + lot.lot + "' is kept already");
    Query(database,
          "INSERT INTO sampled_lot_result (sampled_lot, nonconforming, tighter, at, who)"
          " VALUES (?, ?, ?, ?, ?)")
        .with(lot.id, *lot.nonconforming, lot.tighter, lot.at, lot.who)
        .run();
    return {};
}

Stored<void> resume_sampling(Database& database, std::int64_t plan,
                             const record::SamplingResumption& resumption) {
    if (resumption.who.empty() || resumption.why.empty())
        return out_of_order("who lets inspection go on and why must be given");
    Query(database,
          "INSERT INTO sampling_resumption (plan, after_lot, at, who, why) VALUES (?1,"
          " coalesce((SELECT max(id) FROM sampled_lot WHERE plan = ?1), 0), ?2, ?3, ?4)")
        .with(plan, resumption.at, resumption.who, resumption.why)
        .run();
    return {};
}

}  // namespace padtrim::ledger::rows
