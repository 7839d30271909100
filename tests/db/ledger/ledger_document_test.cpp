// docs/ledger.md against the schema itself: every table, column and view is there, and every query
// that it shows runs.
#include <algorithm>
#include <fstream>
#include <sstream>

#include <SQLiteCpp/SQLiteCpp.h>
#include <gtest/gtest.h>

#include "db/ledger/migrations.hpp"

namespace padtrim::ledger {
namespace {

class LedgerDocument : public testing::Test {
  protected:
    LedgerDocument() {
        EXPECT_TRUE(migrate(database_, embedded_migrations(), "x.ledger"));
        std::ifstream file(PADTRIM_SOURCE_DIR "/docs/ledger.md");
        for (std::string line; std::getline(file, line);) lines_.push_back(line);
        EXPECT_GT(lines_.size(), 100U);
    }
    std::vector<std::string> column(const std::string& query) {
        SQLite::Statement row(database_, query);
        std::vector<std::string> found;
        while (row.executeStep()) found.push_back(row.getColumn(0));
        EXPECT_FALSE(found.empty()) << query;
        return found;
    }
    // The table line that begins with a name.
    std::string row_of(const std::string& name) const {
        for (const std::string& line : lines_)
            if (line.rfind("| `" + name + "` |", 0) == 0) return line;
        return "";
    }

    void expect_named(const std::string& table, const std::string& name) const {
        EXPECT_NE(row_of(table).find("`" + name + "`"), std::string::npos) << table << "." << name;
    }

    SQLite::Database database_{":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE};
    std::vector<std::string> lines_;
};

TEST_F(LedgerDocument, NamesEveryColumnOfEveryTable) {
    for (const std::string& table :
         column("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"))
        for (const std::string& name :
             column("SELECT name FROM pragma_table_info('" + table + "')"))
            expect_named(table, name);
}

TEST_F(LedgerDocument, NamesEveryView) {
    for (const std::string& view : column("SELECT name FROM sqlite_schema WHERE type = 'view'"))
        EXPECT_NE(row_of(view), "") << view;
}

TEST_F(LedgerDocument, ShowsQueriesThatRun) {
    std::string queries;
    for (const std::string& line : lines_)
        if (line.rfind("    SELECT", 0) == 0 || line.rfind("    WHERE", 0) == 0)
            queries += line + "\n";
    EXPECT_EQ(std::count(queries.begin(), queries.end(), ';'), 4);
    std::istringstream each(queries);
    for (std::string query; std::getline(each, query, ';');) {
        if (query.find("SELECT") == std::string::npos) continue;
        EXPECT_NO_THROW(SQLite::Statement(database_, query).executeStep()) << query;
    }
}

}  // namespace
}  // namespace padtrim::ledger
