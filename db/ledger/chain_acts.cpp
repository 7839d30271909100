#include "db/ledger/chain_acts.hpp"

#include <array>
#include <string>

#include "db/ledger/record_digests.hpp"

namespace padtrim::ledger {

namespace {

struct ActTable {
    std::string_view name;  // as links name it
    const char* table;
    const char* id;
    bool numbered;  // in the order of time
    std::array<const char*, 3> parts;
};

// The first part is the act's own row.
constexpr std::array<ActTable, act_kinds> tables = {{
    {"opening",
     "lot_opening",
     "id",
     true,
     {"SELECT lot_opening.id, station.name, lot.id, lot.name, lot.measure_only, lot_opening.plan,"
      " lot_opening.operator, lot_opening.at FROM lot_opening JOIN lot ON lot.id = lot_opening.lot"
      " JOIN station ON station.id = lot.station WHERE lot_opening.id = ?",
      "SELECT kind, release, permit FROM opening_permission WHERE opening = ?",
      "SELECT state, shift_check FROM opening_readiness WHERE opening = ?"}},
    {"closing",
     "lot_closing",
     "opening",
     false,
     {"SELECT opening, at FROM lot_closing WHERE opening = ?", nullptr, nullptr}},
    {"set aside",
     "set_aside",
     "id",
     true,
     {"SELECT id, opening, lot, nest, serial, label, reason, at FROM set_aside WHERE id = ?",
      nullptr, nullptr}},
    {"frozen chart",
     "frozen_chart",
     "id",
     true,
     {"SELECT id, recipe, recipe_revision, step, name, key, channel, frequency, stage, unit, kind,"
      " rules, size, lambda, width, slack, decision, centre, sigma, points, after_run, at, who, why"
      " FROM frozen_chart WHERE id = ?",
      nullptr, nullptr}},
    {"alarm",
     "chart_alarm",
     "id",
     true,
     {"SELECT id, chart, run, line, signal, value, low, high, found FROM chart_alarm WHERE id = ?",
      nullptr, nullptr}},
    {"alarm reply",
     "alarm_reply",
     "id",
     true,
     {"SELECT id, alarm, at, who, why FROM alarm_reply WHERE id = ?", nullptr, nullptr}},
}};

const ActTable& table_of(ActKind kind) {
    return tables[static_cast<std::size_t>(kind)];
}

std::string unlinked_query(const ActTable& act) {
    const std::string id = std::string(act.table) + "." + act.id;
    return "SELECT " + id + " FROM " + act.table + " WHERE " + id +
           " > ? AND NOT EXISTS (SELECT 1 FROM record_link WHERE kind = '" + std::string(act.name) +
           "' AND " + std::string(link_with_record) + " AND subject = " + id + ") ORDER BY " + id;
}

}  // namespace

std::string_view name_of(ActKind kind) {
    return table_of(kind).name;
}

std::optional<ActKind> act_kind_of(std::string_view name) {
    for (std::size_t i = 0; i < act_kinds; ++i)
        if (tables[i].name == name) return static_cast<ActKind>(i);
    return std::nullopt;
}

ChainActs::ChainActs(Database& database) {
    for (const ActTable& act : tables) {
        const std::string newest =
            "SELECT coalesce(max(" + std::string(act.id) + "), 0) FROM " + std::string(act.table);
        Kept kept{Query(database, unlinked_query(act)), Query(database, newest), {}};
        for (const char* part : act.parts)
            if (part != nullptr) kept.parts.emplace_back(database, part);
        acts_.push_back(std::move(kept));
    }
}

std::vector<std::int64_t> ChainActs::unlinked(ActKind kind, std::int64_t after) {
    Query& query = acts_[static_cast<std::size_t>(kind)].unlinked;
    std::vector<std::int64_t> found;
    query.with(after);
    while (query.next()) found.push_back(query.integer_at(0));
    query.rest();
    return found;
}

std::int64_t ChainActs::newest(ActKind kind) {
    if (!table_of(kind).numbered) return 0;
    Query& query = acts_[static_cast<std::size_t>(kind)].newest;
    query.with();
    const std::int64_t id = query.next() ? query.integer_at(0) : 0;
    query.rest();
    return id;
}

std::optional<Digest> ChainActs::digest_of_act(ActKind kind, std::int64_t id) {
    ByteWriter writer;
    bool there = false;
    writer.text(name_of(kind));
    for (Query& part : acts_[static_cast<std::size_t>(kind)].parts) {
        const std::size_t rows = write_rows(writer, part.with(id));
        there = there || rows > 0;
        if (!there) return std::nullopt;
    }
    return digest_of(writer.bytes());
}

}  // namespace padtrim::ledger
