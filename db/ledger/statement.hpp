// An SQLite statement whose parameters are given in one call: `Query(db, sql).with(a, b)`.
//
// Parameters: integers, reals, text (any bytes), WallTime, Bytes, and optionals of them (NULL when
// empty). A real that is not a number becomes NULL, which number_at() reads back as one.
// SQLite's errors pass as SQLite::Exception.
#pragma once

#include <concepts>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include <SQLiteCpp/Statement.h>

#include "db/ledger/bytes.hpp"
#include "db/ledger/database.hpp"
#include "db/ledger/stored_words.hpp"

namespace padtrim::ledger {

class Query {
  public:
    Query(Database& database, const std::string& sql)
        : database_(database), kept_(database.take(sql)), statement_(*kept_) {}
    Query(Query&&) = default;
    Query& operator=(Query&&) = delete;
    ~Query() {
        if (kept_) database_.give_back(std::move(kept_));
    }

    template <class... Values>
    Query& with(const Values&... values) {
        statement_.reset();
        int index = 0;
        (put(++index, values), ...);
        return *this;
    }
    bool next() { return statement_.executeStep(); }
    // Runs a statement that yields no row.
    void run() { statement_.exec(); }
    [[nodiscard]] std::int64_t integer_at(int column) { return statement_.getColumn(column); }
    // An index that NULL stands for as -1: "does not apply".
    [[nodiscard]] int index_at(int column) { return null_at(column) ? -1 : at<int>(column); }
    template <std::integral Target>
    [[nodiscard]] Target at(int column) {
        return static_cast<Target>(integer_at(column));
    }
    [[nodiscard]] std::string text_at(int column) {
        return statement_.getColumn(column).getString();
    }
    [[nodiscard]] record::WallTime time_at(int column) { return time_of(integer_at(column)); }
    [[nodiscard]] bool null_at(int column) { return statement_.getColumn(column).isNull(); }
    [[nodiscard]] double number_at(int column) {
        const SQLite::Column value = statement_.getColumn(column);
        return value.isNull() ? std::numeric_limits<double>::quiet_NaN() : value.getDouble();
    }
    [[nodiscard]] std::optional<double> optional_at(int column) {
        const SQLite::Column value = statement_.getColumn(column);
        if (value.isNull()) return std::nullopt;
        return value.getDouble();
    }
    [[nodiscard]] int columns() const { return statement_.getColumnCount(); }
    [[nodiscard]] SQLite::Column column(int column) { return statement_.getColumn(column); }
    // Ends what is under way, so that a statement that is kept holds no moment of the database.
    void rest() { statement_.reset(); }
    // Valid until the next step.
    [[nodiscard]] std::span<const std::uint8_t> bytes_at(int column) {
        const SQLite::Column blob = statement_.getColumn(column);
        return {static_cast<const std::uint8_t*>(blob.getBlob()),
                static_cast<std::size_t>(blob.getBytes())};
    }

  private:
    void put(int index, std::integral auto value) {
        statement_.bind(index, static_cast<std::int64_t>(value));
    }
    void put(int index, double value) { statement_.bind(index, value); }
    void put(int index, const std::string& value) { statement_.bind(index, value); }
    void put(int index, std::string_view value) { statement_.bind(index, std::string(value)); }
    void put(int index, record::WallTime at) { statement_.bind(index, stored_time(at)); }
    void put(int index, const Bytes& bytes) {
        statement_.bind(index, bytes.data(), static_cast<int>(bytes.size()));
    }
    template <class T>
    void put(int index, const std::optional<T>& value) {
        if (value) {
            put(index, *value);
        } else {
            statement_.bind(index);
        }
    }

    Database& database_;
    Database::StatementPtr kept_;
    SQLite::Statement& statement_;
};

}  // namespace padtrim::ledger
