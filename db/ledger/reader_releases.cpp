// Releases, permits and the plans that they name.
#include <sstream>

#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

constexpr const char* plan_columns =
    "plan.hash, plan.text, plan.recipe, plan.recipe_revision, plan.product, plan.fixture";

record::PlanCopy read_plan_copy(Query& row) {
    return {row.text_at(0), row.text_at(1), row.text_at(2),
            row.text_at(3), row.text_at(4), row.text_at(5)};
}

record::Release read_release(Query& row) {
    record::Release release;
    release.plan = read_plan_copy(row);
    release.id = row.integer_at(6);
    release.at = row.time_at(7);
    release.who = row.text_at(8);
    release.why = row.text_at(9);
    if (!row.null_at(10)) release.withdrawn = row.time_at(10);
    return release;
}

record::Permit read_permit(Query& row) {
    record::Permit permit;
    permit.plan = read_plan_copy(row);
    permit.id = row.integer_at(6);
    permit.name = row.text_at(7);
    permit.release = row.integer_at(8);
    std::istringstream changes(row.text_at(9));
    for (std::string line; std::getline(changes, line);) permit.changes.push_back(line);
    if (!row.null_at(10)) permit.until = row.time_at(10);
    if (!row.null_at(11)) permit.quantity = row.at<std::uint32_t>(11);
    permit.at = row.time_at(12);
    permit.who = row.text_at(13);
    permit.why = row.text_at(14);
    permit.used = row.at<std::uint32_t>(15);
    return permit;
}

}  // namespace

Reader::Stored<std::vector<record::Release>> Reader::releases() {
    return state_->ask<std::vector<record::Release>>([](Database& database) {
        Query row(database, (std::string("SELECT ") + plan_columns +
                             ", release.id, release.at, release.who, release.why, withdrawal.at"
                             " FROM release JOIN plan ON plan.hash = release.plan"
                             " LEFT JOIN withdrawal ON withdrawal.release = release.id"
                             " ORDER BY release.id DESC")
                                .c_str());
        std::vector<record::Release> releases;
        while (row.next()) releases.push_back(read_release(row));
        return releases;
    });
}

Reader::Stored<std::vector<record::Permit>> Reader::permits() {
    return state_->ask<std::vector<record::Permit>>([](Database& database) {
        Query row(database,
                  (std::string("SELECT ") + plan_columns +
                   ", permit.id, permit.name, permit.release, permit.changes, permit.until,"
                   " permit.quantity, permit.at, permit.who, permit.why,"
                   " (SELECT count(DISTINCT unit) FROM permit_book"
                   "  WHERE permit_book.permit = permit.id)"
                   " FROM permit JOIN plan ON plan.hash = permit.plan ORDER BY permit.id DESC")
                      .c_str());
        std::vector<record::Permit> permits;
        while (row.next()) permits.push_back(read_permit(row));
        return permits;
    });
}

Reader::Stored<std::vector<RunSummary>> Reader::runs_under(std::int64_t permit) {
    const auto found = state_->ask<std::vector<record::RunId>>([permit](Database& database) {
        Query row(database, "SELECT run FROM permit_book WHERE permit = ? ORDER BY run");
        row.with(permit);
        std::vector<record::RunId> runs;
        while (row.next()) runs.push_back(row.integer_at(0));
        return runs;
    });
    if (!found) return found.error();
    return summaries(*found);
}

}  // namespace padtrim::ledger
