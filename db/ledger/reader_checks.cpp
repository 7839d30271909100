// The checks of many runs in one go, with their places named once: the way for questions over years
// of units. Speaks to SQLite itself: a wrapper's cost for each value would be most of the time.
#include <algorithm>
#include <limits>
#include <memory>

#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>

#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"

namespace padtrim::ledger {

namespace {

constexpr const char* query =
    "SELECT step, name, key, channel, frequency, stage, value, standard_uncertainty,"
    " coverage_factor, verdict, unit FROM check_result WHERE run = ? ORDER BY number";

// The rows of one run after the other. Texts are valid until the next step.
class Rows {
  public:
    explicit Rows(SQLite::Database& database) : handle_(database.getHandle()) {
        sqlite3_stmt* statement = nullptr;
        if (sqlite3_prepare_v2(handle_, query, -1, &statement, nullptr) != SQLITE_OK)
            throw SQLite::Exception(handle_);
        statement_.reset(statement);
    }
    void begin(record::RunId run) {
        sqlite3_reset(statement_.get());
        sqlite3_bind_int64(statement_.get(), 1, run);
    }
    bool next() {
        const int code = sqlite3_step(statement_.get());
        if (code != SQLITE_ROW && code != SQLITE_DONE) throw SQLite::Exception(handle_, code);
        return code == SQLITE_ROW;
    }
    [[nodiscard]] std::string_view text(int column) const {
        // As a blob: SQLite need not copy it to end it with a NUL.
        const void* bytes = sqlite3_column_blob(statement_.get(), column);
        const int size = sqlite3_column_bytes(statement_.get(), column);
        return {static_cast<const char*>(bytes), static_cast<std::size_t>(size)};
    }
    [[nodiscard]] int index(int column) const {
        if (sqlite3_column_type(statement_.get(), column) == SQLITE_NULL) return -1;
        return sqlite3_column_int(statement_.get(), column);
    }
    [[nodiscard]] double number(int column) const {
        if (sqlite3_column_type(statement_.get(), column) == SQLITE_NULL)
            return std::numeric_limits<double>::quiet_NaN();
        return sqlite3_column_double(statement_.get(), column);
    }

  private:
    struct Finalize {
        void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
    };
    sqlite3* handle_;
    std::unique_ptr<sqlite3_stmt, Finalize> statement_;
};

record::Verdict verdict_in(const Rows& row, int column) {
    const std::string_view word = row.text(column);
    return word == "pass" ? record::Verdict::pass : verdict_of(std::string(word));
}

class Places {
  public:
    explicit Places(std::vector<CheckPlace>& places) : places_(places) {}

    void begin_run() { at_ = 0; }
    // Runs of one plan have their checks in one order, so that the last run's place is a good
    // guess.
    std::size_t place_of(const Rows& row) {
        if (at_ < order_.size() && is_at(row, places_[order_[at_]])) return order_[at_++];
        const std::size_t place = look_up(row);
        order_.resize(std::max(order_.size(), at_ + 1));
        return order_[at_++] = place;
    }

  private:
    static bool is_at(const Rows& row, const CheckPlace& place) {
        return row.text(0) == place.step && row.text(1) == place.check &&
               row.text(2) == place.key && row.index(3) == place.channel &&
               row.index(4) == place.frequency && row.text(5) == record::name_of(place.stage);
    }
    std::size_t look_up(const Rows& row) {
        const auto copy = [&](int column) { return std::string(row.text(column)); };
        CheckPlace place{copy(0),      copy(1),           copy(2), row.index(3),
                         row.index(4), stage_of(copy(5)), copy(10)};
        const auto known = std::find(places_.begin(), places_.end(), place);
        if (known != places_.end()) return static_cast<std::size_t>(known - places_.begin());
        places_.push_back(std::move(place));
        return places_.size() - 1;
    }

    std::vector<CheckPlace>& places_;
    std::vector<std::size_t> order_;
    std::size_t at_ = 0;
};

}  // namespace

Reader::Stored<void> Reader::visit_checks(const std::vector<record::RunId>& runs,
                                          std::vector<CheckPlace>& places,
                                          const VisitChecks& visit) {
    const auto visited = state_->ask<bool>([&](SQLite::Database& database) {
        Rows row(database);
        Places known(places);
        std::vector<PlacedCheck> checks;
        for (std::size_t i = 0; i < runs.size(); ++i) {
            checks.clear();
            known.begin_run();
            row.begin(runs[i]);
            while (row.next()) {
                checks.push_back({known.place_of(row), row.number(6), row.number(7), row.number(8),
                                  verdict_in(row, 9)});
            }
            visit(i, checks);
        }
        return true;
    });
    if (!visited) return visited.error();
    return {};
}

}  // namespace padtrim::ledger
