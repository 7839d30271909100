#include "db/ledger/database.hpp"

#include <utility>

#include <sqlite3.h>

namespace padtrim::ledger {

namespace {

// Texts that are put together for a question are few, but nothing says how few.
constexpr std::size_t most_texts = 300;
constexpr std::size_t most_of_a_text = 4;

void run(Database& database, const char* sql) {
    Database::StatementPtr statement = database.take(sql);
    statement->exec();
    database.give_back(std::move(statement));
}

}  // namespace

Database::StatementPtr Database::take(const std::string& sql) {
    const auto found = at_rest_.find(sql);
    if (found == at_rest_.end() || found->second.empty())
        return std::make_unique<SQLite::Statement>(*this, sql);
    StatementPtr statement = std::move(found->second.back());
    found->second.pop_back();
    return statement;
}

void Database::give_back(StatementPtr statement) noexcept {
    try {
        statement->tryReset();  // its answer is that of the last step, which was told then
        statement->clearBindings();
        if (at_rest_.size() >= most_texts) at_rest_.clear();
        std::vector<StatementPtr>& kept = at_rest_[statement->getQuery()];
        if (kept.size() < most_of_a_text) kept.push_back(std::move(statement));
    } catch (const std::exception&) {
        // No memory to keep it: it is prepared again when it is needed.
    }
}

Transaction::Transaction(Database& database, Kind kind) : database_(database) {
    run(database_, kind == Kind::writing ? "BEGIN IMMEDIATE" : "BEGIN");
}

Transaction::~Transaction() {
    if (!open_) return;
    try {
        run(database_, "ROLLBACK");
    } catch (const std::exception&) {
        // SQLite has rolled back already, as it does after a full disk.
    }
}

void Transaction::commit() {
    run(database_, "COMMIT");
    open_ = false;
}

}  // namespace padtrim::ledger
