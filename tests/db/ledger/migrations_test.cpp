#include "db/ledger/migrations.hpp"

#include <array>

#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace padtrim::ledger {
namespace {

using journal::StoreFaultKind;
using testing::HasSubstr;

class Migrations : public testing::Test {
  protected:
    int version() { return schema_version(database_, "x.ledger").value(); }
    journal::Stored<void> migrate_to(std::span<const Migration> migrations) {
        return migrate(database_, migrations, "x.ledger");
    }
    SQLite::Database database_{":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE};
};

constexpr std::array<Migration, 3> steps{{
    {1, "0001_first", "CREATE TABLE a (x INTEGER); INSERT INTO a VALUES (7);"},
    {2, "0002_second", "ALTER TABLE a ADD COLUMN y INTEGER NOT NULL DEFAULT 5;"},
    {3, "0003_third", "CREATE TABLE b (x INTEGER); CREATE TABLE a (z INTEGER);"},  // fails
}};

TEST_F(Migrations, BringAnOlderSchemaUpToDateAndKeepItsRows) {
    EXPECT_EQ(version(), 0);
    ASSERT_TRUE(migrate_to(std::span(steps).first(1)));
    EXPECT_EQ(version(), 1);
    ASSERT_TRUE(migrate_to(std::span(steps).first(2)));
    EXPECT_EQ(version(), 2);
    EXPECT_EQ(database_.execAndGet("SELECT x * 10 + y FROM a").getInt(), 75);
    EXPECT_EQ(database_.execAndGet("SELECT group_concat(name) FROM schema_version").getString(),
              "0001_first,0002_second");
}

TEST_F(Migrations, DoNothingTwice) {
    ASSERT_TRUE(migrate_to(std::span(steps).first(1)));
    ASSERT_TRUE(migrate_to(std::span(steps).first(1)));
    EXPECT_EQ(database_.execAndGet("SELECT count(*) FROM a").getInt(), 1);
}

TEST_F(Migrations, LeaveEverythingAsItWasWhenOneFails) {
    ASSERT_TRUE(migrate_to(std::span(steps).first(1)));
    EXPECT_THROW((void)migrate_to(steps), SQLite::Exception);
    EXPECT_EQ(version(), 1);
    EXPECT_FALSE(database_.tableExists("b"));
    EXPECT_EQ(database_.execAndGet("SELECT * FROM a").getInt(), 7);
}

TEST_F(Migrations, RefuseANewerSchema) {
    ASSERT_TRUE(migrate_to(std::span(steps).first(2)));
    const auto refused = migrate_to(std::span(steps).first(1));
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, StoreFaultKind::newer_schema);
    EXPECT_THAT(refused.error().what, HasSubstr("schema version 2"));
}

TEST_F(Migrations, TellReadersOfAnOlderSchemaWhatToDo) {
    const auto older = check_version(1, std::span(steps).first(2), "x.ledger");
    ASSERT_FALSE(older);
    EXPECT_THAT(older.error().what, HasSubstr("start the station on it once"));
    EXPECT_TRUE(check_version(2, std::span(steps).first(2), "x.ledger"));
}

class OwnSchema : public Migrations {
  protected:
    OwnSchema() {
        database_.exec("PRAGMA foreign_keys = ON");
        EXPECT_TRUE(migrate_to(embedded_migrations()));
    }
    std::vector<std::string> names(const std::string& type) {
        SQLite::Statement row(database_,
                              "SELECT name FROM sqlite_schema WHERE type = ?"
                              " AND name NOT LIKE 'sqlite_%' ORDER BY name");
        row.bind(1, type);
        std::vector<std::string> found;
        while (row.executeStep()) found.push_back(row.getColumn(0));
        return found;
    }
};

TEST_F(OwnSchema, IsNumberedWithoutGapAndMarked) {
    int expected = 0;
    for (const Migration& migration : embedded_migrations())
        EXPECT_EQ(migration.number, ++expected);
    EXPECT_EQ(version(), expected);
    EXPECT_EQ(database_.execAndGet("PRAGMA application_id").getInt(), 0x5054524D);
}

TEST_F(OwnSchema, AnswersEveryView) {
    EXPECT_GE(names("view").size(), 5U);
    for (const std::string& view : names("view"))
        EXPECT_NO_THROW(database_.exec("SELECT * FROM " + view)) << view;
}

TEST_F(OwnSchema, KeepsEveryTableFromBeingEdited) {
    const auto triggers = names("trigger");
    for (const std::string& table : names("table")) {
        // Rollups follow from the other tables and change with them.
        if (table == "schema_version" || table.rfind("rollup_", 0) == 0) continue;
        EXPECT_THAT(triggers, testing::Contains(table + "_unedited"));
        EXPECT_THAT(triggers, testing::Contains(table + "_undeleted"));
    }
}

TEST_F(OwnSchema, RefusesToEditOrDeleteARow) {
    database_.exec("INSERT INTO station (name) VALUES ('S1')");
    for (const char* act : {"UPDATE station SET name = 'S2'", "DELETE FROM station"}) {
        try {
            database_.exec(act);
            ADD_FAILURE() << act;
        } catch (const SQLite::Exception& error) {
            EXPECT_THAT(error.what(), HasSubstr("never edited"));
        }
    }
}

TEST_F(OwnSchema, HoldsStagesOnlyBehindAnIntent) {
    EXPECT_THROW(database_.exec("INSERT INTO write_stage (run, stage) VALUES (1, 'written')"),
                 SQLite::Exception);
}

}  // namespace
}  // namespace padtrim::ledger
