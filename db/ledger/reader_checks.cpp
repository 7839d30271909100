// The checks of many runs in one go, with their places named once: the way for questions over years
// of units. Speaks to SQLite itself: rows are gathered by an aggregate function inside the query,
// for handing each value out through the interface would be most of the time.
#include <algorithm>
#include <exception>
#include <limits>
#include <memory>
#include <utility>

#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>

#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

// The primary key gives the rows of a run in the order of their numbers. A subquery that demanded
// it would copy every row.
constexpr const char* query =
    "SELECT gather_check(step, name, key, channel, frequency, stage, value, standard_uncertainty,"
    " degrees_of_freedom, coverage_factor, verdict) FROM check_result WHERE run = ?";
constexpr const char* unit_query =
    "SELECT unit FROM check_result WHERE run = ? AND step = ? AND name = ? AND key = ? LIMIT 1";
constexpr int columns = 11;

using Values = sqlite3_value**;

// Valid during the call. As a blob: SQLite need not copy it to end it with a NUL.
std::string_view text_in(Values row, int column) {
    const void* bytes = sqlite3_value_blob(row[column]);
    const int size = sqlite3_value_bytes(row[column]);
    return {static_cast<const char*>(bytes), static_cast<std::size_t>(size)};
}
int index_in(Values row, int column) {
    if (sqlite3_value_type(row[column]) == SQLITE_NULL) return -1;
    return sqlite3_value_int(row[column]);
}
double number_in(Values row, int column) {
    if (sqlite3_value_type(row[column]) == SQLITE_NULL)
        return std::numeric_limits<double>::quiet_NaN();
    return sqlite3_value_double(row[column]);
}
record::Verdict verdict_in(Values row, int column) {
    const std::string_view word = text_in(row, column);
    return word == "pass" ? record::Verdict::pass : verdict_of(std::string(word));
}

// The checks of one run after the other.
class Gathering {
  public:
    Gathering(Database& database, std::vector<CheckPlace>& places)
        : database_(database),
          handle_(database.getHandle()),
          places_(places),
          measured_(places.size()) {
        demand(sqlite3_create_function(handle_, "gather_check", columns, SQLITE_UTF8, this, nullptr,
                                       take_row, take_end));
        sqlite3_stmt* statement = nullptr;
        demand(sqlite3_prepare_v2(handle_, query, -1, &statement, nullptr));
        statement_.reset(statement);
    }
    Gathering(const Gathering&) = delete;
    Gathering& operator=(const Gathering&) = delete;
    ~Gathering() {
        statement_.reset();
        sqlite3_create_function(handle_, "gather_check", columns, SQLITE_UTF8, nullptr, nullptr,
                                nullptr, nullptr);
    }

    const std::vector<PlacedCheck>& of(record::RunId run) {
        checks_.clear();
        at_ = 0;
        sqlite3_reset(statement_.get());
        demand(sqlite3_bind_int64(statement_.get(), 1, run));
        const int code = sqlite3_step(statement_.get());
        if (odd_) std::rethrow_exception(std::exchange(odd_, nullptr));
        if (code != SQLITE_ROW) throw SQLite::Exception(handle_, code);
        for (; measured_ < places_.size(); ++measured_) add_unit(run, places_[measured_]);
        return checks_;
    }

  private:
    // Units are read once a place, not once a row.
    void add_unit(record::RunId run, CheckPlace& place) {
        Query unit(database_, unit_query);
        if (unit.with(run, place.step, place.check, place.key).next())
            place.measure = unit.text_at(0);
    }
    void demand(int code) const {
        if (code != SQLITE_OK) throw SQLite::Exception(handle_, code);
    }
    // Called by SQLite, through which no exception may pass.
    static void take_row(sqlite3_context* context, int, Values row) {
        auto& self = *static_cast<Gathering*>(sqlite3_user_data(context));
        try {
            if (!self.odd_) self.take(row);
        } catch (...) {
            self.odd_ = std::current_exception();
        }
    }
    static void take_end(sqlite3_context* context) { sqlite3_result_null(context); }

    void take(Values row) {
        checks_.push_back({place_of(row), number_in(row, 6), number_in(row, 7), number_in(row, 8),
                           number_in(row, 9), verdict_in(row, 10)});
    }
    // Runs of one plan have their checks in one order, so that the last run's place is a good
    // guess.
    std::size_t place_of(Values row) {
        if (at_ < order_.size() && is_at(row, places_[order_[at_]])) return order_[at_++];
        const std::size_t place = look_up(row);
        order_.resize(std::max(order_.size(), at_ + 1));
        return order_[at_++] = place;
    }
    static bool is_at(Values row, const CheckPlace& place) {
        return text_in(row, 0) == place.step && text_in(row, 1) == place.check &&
               text_in(row, 2) == place.key && index_in(row, 3) == place.channel &&
               index_in(row, 4) == place.frequency &&
               text_in(row, 5) == record::name_of(place.stage);
    }
    std::size_t look_up(Values row) {
        const auto copy = [&](int column) { return std::string(text_in(row, column)); };
        CheckPlace place{copy(0),          copy(1),           copy(2), index_in(row, 3),
                         index_in(row, 4), stage_of(copy(5)), ""};
        const auto known = std::find_if(places_.begin(), places_.end(), [&](const auto& each) {
            place.measure = each.measure;
            return each == place;
        });
        if (known != places_.end()) return static_cast<std::size_t>(known - places_.begin());
        place.measure.clear();
        places_.push_back(std::move(place));
        return places_.size() - 1;
    }

    struct Finalize {
        void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
    };
    Database& database_;
    sqlite3* handle_;
    std::unique_ptr<sqlite3_stmt, Finalize> statement_;
    std::vector<CheckPlace>& places_;
    std::size_t measured_;  // places whose unit is known
    std::vector<std::size_t> order_;
    std::size_t at_ = 0;
    std::vector<PlacedCheck> checks_;
    std::exception_ptr odd_;
};

}  // namespace

Reader::Stored<void> Reader::visit_checks(const std::vector<record::RunId>& runs,
                                          std::vector<CheckPlace>& places,
                                          const VisitChecks& visit) {
    const auto visited = state_->ask<bool>([&](Database& database) {
        Gathering checks(database, places);
        for (std::size_t i = 0; i < runs.size(); ++i) visit(i, checks.of(runs[i]));
        return true;
    });
    if (!visited) return visited.error();
    return {};
}

}  // namespace padtrim::ledger
