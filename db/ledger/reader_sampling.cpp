// Sampling plans with everything that they chose and that was found.
#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

void read_lots(Database& database, record::SamplingPlan& plan) {
    Query row(database,
              "SELECT id, lot, size, severity, letter, sample, accept, seed,"
              " coalesce(sampled_lot_result.at, sampled_lot.at), nonconforming,"
              " coalesce(tighter, 0), coalesce(who, '') FROM sampled_lot LEFT JOIN"
              " sampled_lot_result ON sampled_lot = id WHERE plan = ? ORDER BY id");
    row.with(plan.id);
    while (row.next()) {
        record::SampledLot& lot = plan.lots.emplace_back();
        lot.id = row.integer_at(0);
        lot.lot = row.text_at(1);
        lot.size = row.at<std::uint64_t>(2);
        lot.severity = row.text_at(3);
        lot.letter = row.text_at(4);
        lot.sample = row.at<std::uint64_t>(5);
        lot.accept = row.at<std::uint64_t>(6);
        lot.seed = row.integer_at(7);
        lot.at = row.time_at(8);
        if (!row.null_at(9)) lot.nonconforming = row.at<std::uint64_t>(9);
        lot.tighter = row.integer_at(10) != 0;
        lot.who = row.text_at(11);
    }
}

void read_resumptions(Database& database, record::SamplingPlan& plan) {
    Query row(database,
              "SELECT after_lot, at, who, why FROM sampling_resumption WHERE plan = ?"
              " ORDER BY id");
    row.with(plan.id);
    while (row.next())
        plan.resumptions.push_back(
            {row.integer_at(0), row.time_at(1), row.text_at(2), row.text_at(3)});
}

}  // namespace

Reader::Stored<std::vector<record::SamplingPlan>> Reader::sampling_plans() {
    return state_->ask<std::vector<record::SamplingPlan>>([](Database& database) {
        Query row(database,
                  "SELECT id, product, step, level, quality_limit, at, who, why"
                  " FROM sampling_plan ORDER BY id");
        std::vector<record::SamplingPlan> plans;
        while (row.next()) {
            record::SamplingPlan& plan = plans.emplace_back();
            plan.id = row.integer_at(0);
            plan.product = row.text_at(1);
            plan.step = row.text_at(2);
            plan.level = row.text_at(3);
            plan.quality_limit = row.number_at(4);
            plan.at = row.time_at(5);
            plan.who = row.text_at(6);
            plan.why = row.text_at(7);
        }
        for (auto& plan : plans) {
            read_lots(database, plan);
            read_resumptions(database, plan);
        }
        return plans;
    });
}

}  // namespace padtrim::ledger
