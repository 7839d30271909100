// An SQLite connection that keeps the statements which it has met, so that what is asked again is
// not parsed again; and transactions on it.
//
// One thread at a time. Whoever takes a statement gives it back before the connection ends (Query
// does both). SQLite's errors pass as SQLite::Exception.
#pragma once

#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Statement.h>

namespace padtrim::ledger {

class Database : public SQLite::Database {
  public:
    using SQLite::Database::Database;
    using StatementPtr = std::unique_ptr<SQLite::Statement>;

    // At rest and without parameters; prepared when none of this text is left.
    [[nodiscard]] StatementPtr take(const std::string& sql);
    void give_back(StatementPtr statement) noexcept;

  private:
    std::unordered_map<std::string, std::vector<StatementPtr>> at_rest_;
};

// Rolled back at its end unless committed.
class Transaction {
  public:
    enum class Kind { reading, writing };  // writing: nobody else writes from its beginning on
    Transaction(Database& database, Kind kind);
    ~Transaction();
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    void commit();

  private:
    Database& database_;
    bool open_ = true;
};

}  // namespace padtrim::ledger
