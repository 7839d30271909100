// Logins in their file. The hash has to be Argon2id (RFC 9106; its encoded form begins
// "$argon2id$"), as OWASP's Password Storage Cheat Sheet recommends first. Hashing costs the least
// here.
#include "station/web/accounts.hpp"

#include <filesystem>
#include <fstream>
#include <iterator>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/web/sessions.hpp"

namespace padtrim::web {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using namespace std::chrono_literals;

constexpr HashCost cheap{1, 8192};
const std::string desk = "127.0.0.1", elsewhere = "192.0.2.9";

class Logins : public ::testing::Test {
  protected:
    std::string path =
        (std::filesystem::temp_directory_path() / ("padtrim-logins-" + random_token(8))).string();
    std::unique_ptr<Accounts> accounts;
    port::Instant now{};

    void SetUp() override { open_again(); }
    void TearDown() override { std::filesystem::remove(path); }
    void open_again() {
        auto opened = Accounts::open(path, cheap);
        ASSERT_TRUE(opened.has_value()) << opened.error().what;
        accounts = std::move(opened.value());
    }
    void first() {
        ASSERT_EQ(accounts->set_first(accounts->first_code(), "boss", "long enough"), "");
    }
    Sessions sessions(SessionRules rules = {}) {
        return Sessions(
            *accounts, [this] { return now; }, rules);
    }
    // As the door does: whoever has to wait is not asked for a password at all.
    static Sessions::Answer log_in(Sessions& open, const std::string& name,
                                   const std::string& password, const std::string& address) {
        std::string wait = open.must_wait(name, address);
        if (!wait.empty()) return {std::nullopt, std::move(wait), true};
        return open.log_in(name, password, address);
    }
};

TEST_F(Logins, TheFirstAdministratorNeedsThePrintedCodeOnce) {
    const std::string code = accounts->first_code();
    EXPECT_EQ(code.size(), 14u);
    EXPECT_FALSE(accounts->any());
    EXPECT_NE(accounts->set_first("AAAA-BBBB-CCCC", "boss", "long enough"), "");
    EXPECT_NE(accounts->set_first("", "boss", "long enough"), "");
    EXPECT_EQ(accounts->set_first(code, "boss", "long enough"), "");
    EXPECT_TRUE(accounts->any());
    EXPECT_EQ(accounts->first_code(), "");
    EXPECT_NE(accounts->set_first(code, "thief", "long enough"), "");
    EXPECT_EQ(accounts->all().size(), 1u);
}

TEST_F(Logins, WrongCodesHoldUpTheirAddressForAWhileAndNobodyElse) {
    const std::string code = accounts->first_code();
    auto open = sessions();
    for (int i = 0; i < 5; ++i)
        EXPECT_FALSE(open.set_first("wrong", "boss", "long enough", elsewhere).later) << i;
    EXPECT_TRUE(open.set_first(code, "boss", "long enough", elsewhere).later);
    EXPECT_NE(open.must_wait("", elsewhere), "") << "it does not even stand in line";
    EXPECT_FALSE(accounts->any());
    now += 61s;
    EXPECT_FALSE(open.set_first("wrong", "boss", "long enough", elsewhere).later);
    EXPECT_EQ(accounts->first_code(), code) << "the code holds";
    EXPECT_EQ(open.set_first(code, "boss", "long enough", desk).refusal, "");
    EXPECT_TRUE(accounts->any());
    EXPECT_NE(open.set_first(code, "thief", "long enough", desk).refusal, "");
}

TEST_F(Logins, TriesThatRunAtOnceAreHeldUpAllTheSame) {
    first();
    auto open = sessions();
    for (int i = 0; i < 8; ++i)
        EXPECT_EQ(open.must_wait("boss", elsewhere), "") << "in line: " << i;
    for (int i = 0; i < 5; ++i) EXPECT_FALSE(open.log_in("boss", "wrong one", elsewhere).later);
    EXPECT_TRUE(open.log_in("boss", "long enough", elsewhere).later) << "its turn comes too late";
}

TEST_F(Logins, AreKeptHashedInAFileOfTheirOwnersOnly) {
    first();
    EXPECT_EQ(accounts->set("M", Role::operating, "pass word 1"), "");
    std::ifstream file(path);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    EXPECT_THAT(text, HasSubstr("$argon2id$"));
    EXPECT_THAT(text, Not(HasSubstr("pass word")));
    EXPECT_EQ(std::filesystem::status(path).permissions(),
              std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
    open_again();
    EXPECT_EQ(accounts->check("M", "pass word 1"), Role::operating);
    EXPECT_EQ(accounts->check("M", "pass word 2"), std::nullopt);
    EXPECT_EQ(accounts->check("nobody", "pass word 1"), std::nullopt);
    EXPECT_EQ(accounts->check("M", ""), std::nullopt);
}

TEST_F(Logins, OneAdministratorAlwaysStays) {
    first();
    EXPECT_NE(accounts->remove("boss"), "");
    EXPECT_NE(accounts->set("boss", Role::operating, "long enough"), "");
    EXPECT_EQ(accounts->set("deputy", Role::administration, "long enough"), "");
    EXPECT_EQ(accounts->remove("boss"), "");
    EXPECT_NE(accounts->remove("boss"), "");
}

TEST_F(Logins, RefuseShortPasswordsAndOddNames) {
    first();
    EXPECT_NE(accounts->set("M", Role::operating, "seven c"), "");
    EXPECT_NE(accounts->set("M", Role::operating, std::string(257, 'x')), "");
    EXPECT_NE(accounts->set("two\nlines", Role::operating, "long enough"), "");
}

TEST_F(Logins, ADamagedFileIsNeverTakenForNoLogins) {
    std::ofstream(path) << "{\"accounts\":[{\"name\":\"M\",\"role\":\"king\"}]}";
    EXPECT_FALSE(Accounts::open(path, cheap).has_value());
    std::ofstream(path) << "";
    EXPECT_FALSE(Accounts::open(path, cheap).has_value());
}

TEST_F(Logins, WrongPasswordsLockANameForAWhileThatDoubles) {
    first();
    auto open = sessions();
    for (int i = 0; i < 5; ++i) EXPECT_FALSE(log_in(open, "boss", "wrong one", desk).later) << i;
    EXPECT_TRUE(log_in(open, "boss", "long enough", desk).later);
    now += 61s;
    EXPECT_FALSE(log_in(open, "boss", "wrong one", desk).later);
    now += 61s;
    EXPECT_TRUE(log_in(open, "boss", "long enough", desk).later);
    now += 60s;
    EXPECT_TRUE(log_in(open, "boss", "long enough", desk).session.has_value());
}

TEST_F(Logins, AStrangerWhoTypesANameLocksItForHimselfAlone) {
    first();
    auto open = sessions();
    for (int i = 0; i < 5; ++i) EXPECT_FALSE(log_in(open, "boss", "wrong one", elsewhere).later);
    EXPECT_TRUE(log_in(open, "boss", "long enough", elsewhere).later) << "even with the right one";
    EXPECT_TRUE(log_in(open, "boss", "long enough", desk).session.has_value());
}

TEST_F(Logins, GoingFromNameToNameLocksTheAddress) {
    first();
    auto open = sessions();
    for (int i = 0; i < 20; ++i)
        EXPECT_FALSE(log_in(open, "guess" + std::to_string(i), "wrong one", elsewhere).later) << i;
    EXPECT_TRUE(log_in(open, "boss", "long enough", elsewhere).later);
    EXPECT_TRUE(log_in(open, "boss", "long enough", desk).session.has_value());
    now += 61s;
    EXPECT_TRUE(log_in(open, "boss", "long enough", elsewhere).session.has_value());
}

TEST_F(Logins, TooManyAttemptsOfOneAddressWait) {
    first();
    SessionRules rules;
    rules.tries_of_address = 100;
    auto open = sessions(rules);
    for (int i = 0; i < 30; ++i)
        EXPECT_FALSE(log_in(open, "guess" + std::to_string(i), "wrong one", desk).later) << i;
    EXPECT_TRUE(log_in(open, "boss", "long enough", desk).later);
    now += 60s;
    EXPECT_TRUE(log_in(open, "boss", "long enough", desk).session.has_value());
}

TEST_F(Logins, ManyStrangersHoldUpNobodyWhereSomebodyHasLoggedIn) {
    first();
    auto open = sessions();
    ASSERT_TRUE(log_in(open, "boss", "long enough", desk).session.has_value());
    now += 60s;
    for (int i = 0; i < 60; ++i)
        EXPECT_FALSE(log_in(open, "boss", "wrong one", "192.0.2." + std::to_string(i)).later) << i;
    EXPECT_TRUE(log_in(open, "boss", "long enough", "192.0.2.200").later) << "a stranger waits";
    EXPECT_TRUE(log_in(open, "boss", "long enough", desk).session.has_value());
}

TEST_F(Logins, StrangersHoldUpNobodyAtTheStationItself) {
    first();
    auto open = sessions();
    for (int i = 0; i < 61; ++i) log_in(open, "boss", "wrong one", "192.0.2." + std::to_string(i));
    EXPECT_TRUE(log_in(open, "boss", "long enough", "192.0.2.200").later);
    EXPECT_TRUE(log_in(open, "boss", "long enough", own_address).session.has_value())
        << "though nobody has logged in there yet";
}

TEST_F(Logins, AnOpenStreamDoesNotKeepASessionAlive) {
    first();
    auto open = sessions();
    const auto boss = log_in(open, "boss", "long enough", desk).session;
    now += 9h;
    EXPECT_TRUE(open.still(boss->token, Role::administration));
    EXPECT_FALSE(open.still(boss->token, Role::operating)) << "another role is another stream";
    now += 2h;
    EXPECT_FALSE(open.still(boss->token, Role::administration));
}

TEST_F(Logins, ChangesHaveAReserveThatFillsAgain) {
    first();
    auto open = sessions();
    for (int i = 0; i < 40; ++i) EXPECT_TRUE(open.may_change("somebody")) << i;
    EXPECT_FALSE(open.may_change("somebody"));
    EXPECT_TRUE(open.may_change("somebody else"));
    now += 1s;
    for (int i = 0; i < 10; ++i) EXPECT_TRUE(open.may_change("somebody")) << i;
    EXPECT_FALSE(open.may_change("somebody"));
}

TEST_F(Logins, ASessionEndsUnusedOrLoggedOutOrWithItsLogin) {
    first();
    ASSERT_EQ(accounts->set("M", Role::operating, "pass word 1"), "");
    auto open = sessions();
    const auto boss = log_in(open, "boss", "long enough", desk).session;
    const auto person = log_in(open, "M", "pass word 1", desk).session;
    ASSERT_TRUE(boss && person);
    EXPECT_NE(boss->token, person->token);
    EXPECT_EQ(boss->token.size(), 64u);
    EXPECT_FALSE(open.find("").has_value());
    ASSERT_EQ(accounts->set("M", Role::engineering, "pass word 1"), "");
    EXPECT_EQ(open.find(person->token)->who.role, Role::engineering);
    ASSERT_EQ(accounts->remove("M"), "");
    EXPECT_FALSE(open.find(person->token).has_value());
    now += 9h;
    EXPECT_TRUE(open.find(boss->token).has_value());
    now += 9h;
    EXPECT_TRUE(open.find(boss->token).has_value());
    now += 11h;
    EXPECT_FALSE(open.find(boss->token).has_value());
    const auto again = log_in(open, "boss", "long enough", desk).session;
    open.log_out(again->token);
    EXPECT_FALSE(open.find(again->token).has_value());
}

TEST(Roles, MayDoWhatTheTableSays) {
    struct Row {
        const char* method;
        const char* path;
        bool quality, operating, engineering, administration;
    };
    for (const Row& row : {Row{"GET", "/api/status", true, true, true, true},
                           Row{"POST", "/api/lot/start", false, true, true, true},
                           Row{"POST", "/api/nest/1/abort", false, true, true, true},
                           Row{"POST", "/api/fault/clear", false, true, true, true},
                           Row{"GET", "/api/quality/yield", true, true, true, true},
                           Row{"POST", "/api/quality/dispose", true, false, false, true},
                           Row{"GET", "/api/quality/alarms", true, true, true, true},
                           Row{"POST", "/api/quality/alarm", true, false, false, true},
                           Row{"POST", "/api/quality/freeze", true, false, false, true},
                           Row{"POST", "/api/quality/sampling-result", true, false, false, true},
                           Row{"GET", "/api/accounts", false, false, false, true},
                           Row{"POST", "/api/accounts", false, false, false, true}}) {
        EXPECT_EQ(may_call(Role::quality, row.method, row.path), row.quality) << row.path;
        EXPECT_EQ(may_call(Role::operating, row.method, row.path), row.operating) << row.path;
        EXPECT_EQ(may_call(Role::engineering, row.method, row.path), row.engineering) << row.path;
        EXPECT_EQ(may_call(Role::administration, row.method, row.path), row.administration)
            << row.path;
    }
    EXPECT_TRUE(may_call(Role::quality, "GET", "/api/audit"));
    EXPECT_TRUE(may_call(Role::administration, "GET", "/api/audit"));
    EXPECT_FALSE(may_call(Role::operating, "GET", "/api/audit"));
    EXPECT_FALSE(may_call(Role::engineering, "GET", "/api/audit"));
    EXPECT_TRUE(may_call(Role::quality, "GET", "/api/quality/audit"));
    EXPECT_FALSE(may_call(Role::operating, "GET", "/api/quality/audit"));
    EXPECT_FALSE(may_call(Role::engineering, "GET", "/api/quality/audit"));
    EXPECT_FALSE(may_draft(Role::operating));
    EXPECT_TRUE(may_draft(Role::engineering));
    for (const Role role :
         {Role::quality, Role::operating, Role::engineering, Role::administration})
        EXPECT_EQ(role_named(name_of(role)), role);
    EXPECT_EQ(role_named("king"), std::nullopt);
}

}  // namespace
}  // namespace padtrim::web
