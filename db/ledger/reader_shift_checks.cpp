// Shift checks as they were kept, and the points that charts learn from.
#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

record::ChartPlace read_place(Query& row) {
    return {row.text_at(0), row.at<std::uint16_t>(1), row.text_at(2), row.text_at(3),
            row.text_at(4), row.index_at(5),          row.index_at(6)};
}

constexpr const char* place_columns =
    "chart_point.serial, chart_point.nest, chart_point.step, chart_point.name, chart_point.key,"
    " chart_point.channel, chart_point.frequency, chart_point.value";

void read_units(Database& database, record::ShiftCheck& check) {
    Query row(database,
              "SELECT serial, nest, challenge, verdict, as_wanted, reason FROM shift_check_unit"
              " WHERE shift_check = ? ORDER BY number");
    row.with(check.id);
    while (row.next())
        check.standards.push_back({row.text_at(0), row.at<std::uint16_t>(1), row.integer_at(2) != 0,
                                   verdict_of(row.text_at(3)), row.integer_at(4) != 0,
                                   row.text_at(5)});
}

void read_points(Database& database, record::ShiftCheck& check) {
    Query row(database, (std::string("SELECT ") + place_columns +
                         ", unit, state, centre, sigma, low, high FROM chart_point"
                         " WHERE shift_check = ? ORDER BY number")
                            .c_str());
    row.with(check.id);
    while (row.next()) {
        record::ChartPoint& point = check.points.emplace_back();
        point.place = read_place(row);
        point.value = row.number_at(7);
        point.unit = row.text_at(8);
        point.state = chart_state_of(row.text_at(9));
        point.centre = row.number_at(10);
        point.sigma = row.number_at(11);
        point.low = row.optional_at(12);
        point.high = row.optional_at(13);
    }
}

record::ShiftCheck read_check(Query& row) {
    record::ShiftCheck check;
    check.id = row.integer_at(0);
    check.station = row.text_at(1);
    check.fixture = row.text_at(2);
    check.product = row.text_at(3);
    check.certificate = row.text_at(4);
    check.at = row.time_at(5);
    check.who = row.text_at(6);
    check.decision = check_decision_of(row.text_at(7));
    check.cause = row.text_at(8);
    check.next_step = row.text_at(9);
    check.baseline = row.at<unsigned>(10);
    check.learned = row.at<unsigned>(11);
    return check;
}

}  // namespace

namespace {

constexpr const char* check_query =
    "SELECT shift_check.id, station.name, fixture, product, certificate, at, who,"
    " decision, cause, next_step, baseline, learned FROM shift_check"
    " JOIN station ON station.id = shift_check.station"
    " WHERE station.name = ?1 AND (?2 = '' OR fixture = ?2)";
constexpr const char* since_restart =
    " AND shift_check.id > coalesce((SELECT max(after) FROM chart_restart"
    " WHERE chart_restart.station = shift_check.station"
    " AND chart_restart.fixture = shift_check.fixture), 0)";
constexpr const char* newest_first = " ORDER BY shift_check.id DESC LIMIT ?3";

std::vector<record::ShiftCheck> read_checks(Query& row, Database& database) {
    std::vector<record::ShiftCheck> checks;
    while (row.next()) checks.push_back(read_check(row));
    for (record::ShiftCheck& check : checks) {
        read_units(database, check);
        read_points(database, check);
    }
    return checks;
}

}  // namespace

Reader::Stored<std::vector<record::ShiftCheck>> Reader::shift_checks(const std::string& station,
                                                                     const std::string& fixture,
                                                                     std::size_t newest) {
    return state_->ask<std::vector<record::ShiftCheck>>([&](Database& database) {
        Query row(database, std::string(check_query) + newest_first);
        return read_checks(row.with(station, fixture, newest), database);
    });
}

Reader::Stored<std::vector<record::ShiftCheck>> Reader::shift_checks_since_restart(
    const std::string& station, const std::string& fixture, std::size_t newest) {
    return state_->ask<std::vector<record::ShiftCheck>>([&](Database& database) {
        Query row(database, std::string(check_query) + since_restart + newest_first);
        return read_checks(row.with(station, fixture, newest), database);
    });
}

Reader::Stored<std::optional<record::WallTime>> Reader::last_good_check(
    const std::string& station, const std::string& fixture) {
    return state_->ask<std::optional<record::WallTime>>(
        [&](Database& database) -> std::optional<record::WallTime> {
            Query row(database,
                      "SELECT max(at) FROM shift_check JOIN station"
                      " ON station.id = shift_check.station"
                      " WHERE station.name = ? AND fixture = ? AND decision = 'ready'");
            row.with(station, fixture);
            if (!row.next() || row.null_at(0)) return std::nullopt;
            return row.time_at(0);
        });
}

Reader::Stored<std::map<record::ChartPlace, std::vector<double>>> Reader::chart_history(
    const std::string& station, const std::string& fixture) {
    using History = std::map<record::ChartPlace, std::vector<double>>;
    return state_->ask<History>([&](Database& database) {
        Query row(database,
                  (std::string("SELECT ") + place_columns +
                   " FROM chart_point JOIN shift_check ON shift_check.id = chart_point.shift_check"
                   " JOIN station ON station.id = shift_check.station"
                   " WHERE station.name = ?1 AND shift_check.fixture = ?2"
                   " AND shift_check.decision = 'ready' AND chart_point.state = 'learning'"
                   " AND shift_check.id > coalesce((SELECT max(after) FROM chart_restart"
                   "  WHERE chart_restart.station = shift_check.station"
                   "  AND chart_restart.fixture = shift_check.fixture), 0)"
                   " ORDER BY shift_check.id, chart_point.number")
                      .c_str());
        row.with(station, fixture);
        History history;
        while (row.next()) history[read_place(row)].push_back(row.number_at(7));
        return history;
    });
}

}  // namespace padtrim::ledger
