// How often contacts worked, and what was replaced, as the ledger keeps it.
#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {
namespace {

using record::ContactStanding;
using support::at_second;
using testing::ElementsAre;
using testing::IsEmpty;

class LedgerContacts : public OpenLedger {
  protected:
    void count(std::vector<record::CoilOperations> coils, const std::string& fixture = "line") {
        ASSERT_TRUE(run(ledger_->count_contacts({"S1", fixture, std::move(coils), at_second(10)})));
    }
    std::vector<ContactStanding> contacts(const std::string& fixture = "line") {
        return reader_->contacts("S1", fixture).value();
    }
};

TEST_F(LedgerContacts, AddUpOverLots) {
    count({{3, 10}, {40, 2}});
    count({{40, 5}});
    EXPECT_THAT(contacts(), ElementsAre(ContactStanding{3, 10, {}, "", ""},
                                        ContactStanding{40, 7, {}, "", ""}));
    EXPECT_THAT(contacts("another"), IsEmpty());
}

TEST_F(LedgerContacts, CountAnewAfterAReplacementAndRememberWhoAndWhy) {
    count({{3, 10}, {40, 2}});
    ASSERT_TRUE(
        run(ledger_->replace_contacts({"S1", "line", {40}, "M", "pins worn", at_second(20)})));
    count({{40, 1}});
    EXPECT_THAT(contacts(), ElementsAre(ContactStanding{3, 10, {}, "", ""},
                                        ContactStanding{40, 1, at_second(20), "M", "pins worn"}));
}

TEST_F(LedgerContacts, TakeNoReplacementWithoutAReason) {
    EXPECT_FALSE(run(ledger_->replace_contacts({"S1", "line", {40}, "M", "", at_second(20)})));
    EXPECT_THAT(contacts(), IsEmpty());
}

TEST_F(LedgerContacts, StandInABookForPeople) {
    count({{3, 10}});
    count({{3, 1}});
    SQLite::Database database(path_, SQLite::OPEN_READONLY);
    EXPECT_EQ(database.execAndGet("SELECT coil || ' ' || operations FROM contact_book").getString(),
              "3 11");
}

}  // namespace
}  // namespace padtrim::ledger
