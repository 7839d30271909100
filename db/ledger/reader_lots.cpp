#include <array>

#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

constexpr const char* lot_query =
    "SELECT lot.id, lot.name, station.name, lot.measure_only,"
    " (SELECT min(at) FROM lot_opening WHERE lot_opening.lot = lot.id), newest.at,"
    " lot_closing.at, plan.recipe, plan.recipe_revision, plan.product, plan.fixture, plan.hash,"
    " newest.operator, opening_permission.kind,"
    " coalesce(opening_permission.release, opening_permission.permit, 0)"
    " FROM lot JOIN station ON station.id = lot.station"
    " JOIN lot_opening AS newest ON newest.id ="
    "      (SELECT max(id) FROM lot_opening WHERE lot_opening.lot = lot.id)"
    " JOIN plan ON plan.hash = newest.plan"
    " LEFT JOIN opening_permission ON opening_permission.opening = newest.id"
    " LEFT JOIN lot_closing ON lot_closing.opening = newest.id";

LotSummary read_lot(Database& database, Query& row) {
    LotSummary lot;
    lot.lot = row.integer_at(0);
    lot.name = row.text_at(1);
    lot.station = row.text_at(2);
    lot.measure_only = row.integer_at(3) != 0;
    lot.first_opened = row.time_at(4);
    lot.last_opened = row.time_at(5);
    lot.open = row.null_at(6);
    if (!lot.open) lot.closed = row.time_at(6);
    lot.recipe = row.text_at(7);
    lot.recipe_revision = row.text_at(8);
    lot.product = row.text_at(9);
    lot.fixture = row.text_at(10);
    lot.plan_hash = row.text_at(11);
    lot.operator_name = row.text_at(12);
    if (!row.null_at(13)) lot.permission = {permission_of(row.text_at(13)), row.integer_at(14)};
    lot.count = rows::count(database, lot.lot).value();
    return lot;
}

}  // namespace

Reader::Stored<std::vector<LotSummary>> Reader::lots() {
    return state_->ask<std::vector<LotSummary>>([](Database& database) {
        Query row(database, std::string(lot_query) + " ORDER BY newest.id DESC");
        std::vector<LotSummary> lots;
        while (row.next()) lots.push_back(read_lot(database, row));
        return lots;
    });
}

Reader::Stored<std::optional<LotSummary>> Reader::lot(const std::string& name) {
    return state_->ask<std::optional<LotSummary>>([&](Database& database) {
        Query row(database,
                  (std::string(lot_query) + " WHERE lot.name = ? ORDER BY newest.id DESC LIMIT 1")
                      .c_str());
        std::optional<LotSummary> lot;
        if (row.with(name).next()) lot = read_lot(database, row);
        return lot;
    });
}

Reader::Stored<std::vector<TapeMark>> Reader::tape(record::LotId lot) {
    return state_->ask<std::vector<TapeMark>>([lot](Database& database) {
        Query row(database,
                  "SELECT run.id, run.serial, run.nest, run.attempt, run_end.verdict,"
                  " (SELECT disposition FROM disposition WHERE disposition.run = run.id"
                  "  ORDER BY id DESC LIMIT 1), run_end.reason"
                  " FROM run LEFT JOIN run_end ON run_end.run = run.id"
                  " WHERE run.lot = ? ORDER BY run.id");
        row.with(lot);
        std::vector<TapeMark> tape;
        while (row.next()) {
            TapeMark& mark = tape.emplace_back();
            mark.run = row.integer_at(0);
            mark.serial = row.text_at(1);
            mark.nest = row.at<std::uint16_t>(2);
            mark.attempt = row.at<std::uint32_t>(3);
            mark.ended = !row.null_at(4);
            if (!mark.ended) continue;
            mark.verdict = verdict_of(row.text_at(4));
            mark.disposition = disposition_of(row.text_at(5));
            mark.reason = row.text_at(6);
        }
        return tape;
    });
}

Reader::Stored<std::vector<record::SetAside>> Reader::set_aside(record::LotId lot) {
    return state_->ask<std::vector<record::SetAside>>([lot](Database& database) {
        Query row(database,
                  "SELECT nest, serial, label, reason, at FROM set_aside WHERE lot = ?"
                  " ORDER BY id");
        row.with(lot);
        std::vector<record::SetAside> units;
        while (row.next())
            units.push_back({lot, row.at<std::uint16_t>(0), row.text_at(1), row.text_at(2),
                             row.text_at(3), row.time_at(4)});
        return units;
    });
}

Reader::Stored<std::vector<std::string>> Reader::names(NameKind kind) {
    static constexpr std::array<const char*, 8> columns = {
        "name FROM station",         "product FROM plan",     "recipe FROM plan",
        "recipe_revision FROM plan", "fixture FROM plan",     "name FROM rollup_place",
        "key FROM rollup_place",     "step FROM rollup_place"};
    return state_->ask<std::vector<std::string>>([kind](Database& database) {
        Query row(database, std::string("SELECT DISTINCT ") +
                                columns[static_cast<std::size_t>(kind)] + " ORDER BY 1");
        std::vector<std::string> names;
        while (row.next())
            if (std::string name = row.text_at(0); !name.empty()) names.push_back(std::move(name));
        return names;
    });
}

}  // namespace padtrim::ledger
