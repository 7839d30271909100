// Plans, releases and permits as rows.
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

Stored<void> keep_plan(Database& database, const record::PlanCopy& plan) {
    Query known(database, "SELECT text FROM plan WHERE hash = ?");
    if (known.with(plan.hash).next()) {
        if (known.text_at(0) == plan.text) return {};
        return out_of_order("the plan " + plan.hash +
                            " is known with another text: its hash was not made from it");
    }
    Query(database,
          "INSERT INTO plan (hash, text, recipe, recipe_revision, product, fixture)"
          " VALUES (?, ?, ?, ?, ?, ?)")
        .with(plan.hash, plan.text, plan.recipe, plan.recipe_revision, plan.product, plan.fixture)
        .run();
    return {};
}

void keep_permission(Database& database, std::int64_t opening,
                     const record::Permission& permission) {
    using record::PermissionKind;
    if (permission.kind == PermissionKind::none) return;
    const auto of = [&](PermissionKind kind) {
        return permission.kind == kind ? std::optional(permission.id) : std::nullopt;
    };
    Query(database,
          "INSERT INTO opening_permission (opening, kind, release, permit) VALUES (?, ?, ?, ?)")
        .with(opening, record::name_of(permission.kind), of(PermissionKind::released),
              of(PermissionKind::permit))
        .run();
}

Stored<std::int64_t> release(Database& database, const record::Release& release) {
    const Stored<void> kept = keep_plan(database, release.plan);
    if (!kept) return kept.error();
    Query(database, "INSERT INTO release (plan, at, who, why) VALUES (?, ?, ?, ?)")
        .with(release.plan.hash, release.at, release.who, release.why)
        .run();
    return database.getLastInsertRowid();
}

Stored<void> withdraw(Database& database, std::int64_t release, const std::string& who,
                      const std::string& why, record::WallTime at) {
    Query known(database,
                "SELECT withdrawal.release FROM release LEFT JOIN withdrawal"
                " ON withdrawal.release = release.id WHERE release.id = ?");
    if (!known.with(release).next())
        return out_of_order("there is no release " + std::to_string(release));
    if (!known.null_at(0))
        return out_of_order("release " + std::to_string(release) + " is withdrawn already");
    Query(database, "INSERT INTO withdrawal (release, at, who, why) VALUES (?, ?, ?, ?)")
        .with(release, at, who, why)
        .run();
    return {};
}

Stored<std::int64_t> permit(Database& database, const record::Permit& permit) {
    const Stored<void> kept = keep_plan(database, permit.plan);
    if (!kept) return kept.error();
    std::string changes;
    for (const std::string& change : permit.changes) {
        changes += (changes.empty() ? "" : "\n") + change;
    }
    Query(database,
          "INSERT INTO permit (name, plan, release, changes, until, quantity, at, who, why)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)")
        .with(permit.name, permit.plan.hash, permit.release, changes, permit.until, permit.quantity,
              permit.at, permit.who, permit.why)
        .run();
    return database.getLastInsertRowid();
}

}  // namespace padtrim::ledger::rows
