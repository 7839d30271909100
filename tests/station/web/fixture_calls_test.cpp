#include "station/web/fixture_calls.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "station/web/audit_state.hpp"
#include "station/web/roles.hpp"
#include "station/web/router.hpp"
#include "tests/station/web/desk_on_paper.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::web {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

// A fixture on paper: it notes what it is asked and answers as it is told.
class FixtureOnPaper final : public FixtureControl {
  public:
    answers::FixtureSheet sheet() const override {
        return answers::fixture_sheet(*test_support::demo_plan(), now_);
    }
    answers::FixtureHold hold() const override { return hold_; }
    Taken take(std::string person) override {
        said_.push_back("take " + person);
        return {decision_, "WORD"};
    }
    Decision renew(const std::string& lease) override { return noted("renew " + lease); }
    Decision give_back(const std::string& lease) override { return noted("give back " + lease); }
    Decision stop(std::string person) override { return noted("stop " + person); }
    Decision connect(const std::string& lease, ConnectWish wish) override {
        return noted("connect " + lease + " " + std::to_string(wish.nest) + "." +
                     std::to_string(wish.channel) + " " + wish.reference);
    }
    Decision move(const std::string& lease, FingerWish wish) override {
        moved_ = wish;
        return noted("move " + lease);
    }
    Decision noted(std::string what) {
        said_.push_back(std::move(what));
        return decision_;
    }

    record::WallTime now_{};
    answers::FixtureHold hold_;
    Decision decision_{Outcome::accepted, "So be it.", ""};
    FingerWish moved_;
    std::vector<std::string> said_;
};

class DeskWithFixture final : public DeskOnPaper {
  public:
    FixtureControl* fixture() override { return &paper_; }
    FixtureOnPaper paper_;
};

class FixtureCalls : public ::testing::Test {
  protected:
    static Request request(const std::string& method, const std::string& path,
                           const std::string& body) {
        Request made;
        made.method = method;
        made.path = path;
        made.host = "127.0.0.1:8480";
        made.body = body;
        if (!body.empty()) made.content_type = "application/json";
        return made;
    }
    Response post(const std::string& call, const std::string& body) {
        return answer(request("POST", "/api/fixture/" + call, body), desk);
    }
    static boost::json::object object_of(const Response& response) {
        return answers::parse_json(response.body)->as_object();
    }
    DeskWithFixture desk;
    FixtureOnPaper& paper = desk.paper_;
};

TEST_F(FixtureCalls, GivesALeaseOnlyToWhoeverHasReadTheCautions) {
    for (const char* body : {"", "{}", R"({"operator":"E"})", R"({"cautions_read":true})",
                             R"({"operator":"E","cautions_read":false})",
                             R"({"operator":"E","cautions_read":"true"})"})
        EXPECT_EQ(post("take", body).status, 400U) << body;
    EXPECT_TRUE(paper.said_.empty());
    EXPECT_THAT(post("take", R"({"operator":"E"})").body, HasSubstr("emergency stop"));
    paper.hold_.lease = std::chrono::seconds(4);
    const auto taken = post("take", R"({"operator":"E","cautions_read":true})");
    EXPECT_EQ(taken.status, 202U);
    EXPECT_EQ(object_of(taken).at("lease").as_string(), "WORD");
    EXPECT_EQ(object_of(taken).at("lease_ms").to_number<int>(), 4000);
    EXPECT_THAT(taken.body, HasSubstr("Software is never the safety function"));
    EXPECT_THAT(paper.said_, ElementsAre("take E"));
}

TEST_F(FixtureCalls, TellsNoLeaseWhenItIsRefused) {
    paper.decision_ = {Outcome::refused, "Lot L runs.", "Wait."};
    const auto refused = post("take", R"({"operator":"E","cautions_read":true})");
    EXPECT_EQ(refused.status, 409U);
    EXPECT_THAT(refused.body, Not(HasSubstr("WORD")));
}

TEST_F(FixtureCalls, PassesALeaseOnWithWhatIsDone) {
    EXPECT_EQ(post("renew", R"({"lease":"W"})").status, 202U);
    EXPECT_EQ(post("give-back", R"({"lease":"W"})").status, 202U);
    EXPECT_EQ(post("connect", R"({"lease":"W","nest":2,"channel":3,"reference":"R1"})").status,
              202U);
    EXPECT_EQ(post("connect", R"({"lease":"W","reference":""})").status, 202U);
    EXPECT_EQ(post("stop", "").status, 202U);
    EXPECT_THAT(paper.said_, ElementsAre("renew W", "give back W", "connect W 2.3 R1",
                                         "connect W 1.0 ", "stop "));
}

TEST_F(FixtureCalls, PassesOnHowFarTheFingerGoes) {
    EXPECT_EQ(post("finger", R"({"lease":"W","act":"step","x_mm":-0.1,"y_mm":5,"z_mm":0})").status,
              202U);
    EXPECT_EQ(paper.moved_.act, FingerAct::step);
    EXPECT_EQ(paper.moved_.by, (port::Position{Millimetre(-0.1), Millimetre(5), Millimetre(0)}));
    EXPECT_EQ(post("finger", R"({"lease":"W","act":"over","nest":2,"key":"up"})").status, 202U);
    EXPECT_EQ(paper.moved_.act, FingerAct::over);
    EXPECT_EQ(paper.moved_.nest, 2U);
    EXPECT_EQ(paper.moved_.key, "up");
}

TEST_F(FixtureCalls, DoNothingOnABodyTheyDoNotUnderstand) {
    for (const char* body :
         {"", "{}", R"({"lease":""})", R"({"lease":"W"})", R"({"lease":"W","act":"jump"})",
          R"({"lease":"W","act":"step","x_mm":"1"})", R"({"lease":"W","act":"home","w":1})",
          R"({"lease":"W","act":"over","nest":70000,"key":"a"})"})
        EXPECT_EQ(post("finger", body).status, 400U) << body;
    EXPECT_EQ(post("connect", R"({"lease":"W","nest":70000,"reference":"R1"})").status, 400U);
    EXPECT_EQ(post("renew", "{}").status, 400U);
    EXPECT_TRUE(paper.said_.empty());
}

TEST_F(FixtureCalls, AreReadOrPostedAsTheySay) {
    EXPECT_EQ(answer(request("GET", "/api/fixture/take", ""), desk).status, 405U);
    EXPECT_EQ(answer(request("POST", "/api/fixture/hold", ""), desk).status, 405U);
    DeskOnPaper without;
    EXPECT_EQ(answer(request("GET", "/api/fixture", ""), without).status, 404U);
}

TEST_F(FixtureCalls, ShowCertifiedValuesAndSayWhenTheyRanOut) {
    const auto sheet = [&] { return object_of(answer(request("GET", "/api/fixture", ""), desk)); };
    const auto plan = test_support::demo_plan();
    const auto now = sheet();
    const auto& equipment = now.at("equipment").as_object();
    EXPECT_EQ(equipment.at("steps").as_array().size(), plan->fixture.equipment.steps.size());
    const auto& first = equipment.at("steps").as_array()[0].as_object();
    EXPECT_EQ(first.at("value_pf").to_number<double>(),
              plan->fixture.equipment.steps[0].value.value());
    EXPECT_EQ(equipment.at("expired").as_string(), "");
    paper.now_ = record::WallTime(std::chrono::sys_days(std::chrono::year(2200) / 1 / 1));
    EXPECT_THAT(std::string(sheet().at("equipment").at("expired").as_string()),
                HasSubstr("were due for recalibration"));
}

TEST_F(FixtureCalls, AreAnEngineersButForTheStop) {
    for (const char* call : {"take", "renew", "give-back", "connect", "finger"}) {
        const std::string path = std::string("/api/fixture/") + call;
        EXPECT_TRUE(may_call(Role::engineering, "POST", path)) << call;
        EXPECT_TRUE(may_call(Role::administration, "POST", path)) << call;
        EXPECT_FALSE(may_call(Role::operating, "POST", path)) << call;
        EXPECT_FALSE(may_call(Role::quality, "POST", path)) << call;
    }
    EXPECT_TRUE(may_call(Role::operating, "POST", "/api/fixture/stop"));
    EXPECT_TRUE(may_call(Role::engineering, "POST", "/api/fixture/stop"));
    EXPECT_TRUE(may_call(Role::quality, "GET", "/api/fixture/hold"));
}

TEST_F(FixtureCalls, StandInTheAuditWithoutTheirLeaseAndWithWhatStoodBefore) {
    paper.hold_.held = true;
    paper.hold_.who = "E";
    paper.hold_.work.connected = engine::Connection{1, 3, "R2", 11};
    const auto asked =
        request("POST", "/api/fixture/connect", R"({"lease":"WORD","reference":""})");
    const auto entry = audit_entry(asked, "E", "engineer");
    EXPECT_THAT(entry.asked, Not(HasSubstr("WORD")));
    EXPECT_THAT(entry.asked, HasSubstr("reference"));
    const auto state = answers::parse_json(audit_state(desk, asked.path))->as_object();
    EXPECT_EQ(state.at("fixture").at("connected").at("reference").as_string(), "R2");
    EXPECT_EQ(state.at("fixture").at("who").as_string(), "E");
}

TEST_F(FixtureCalls, KeepNoEntryForEachSecondOfAHold) {
    auto entry = audit_entry(request("POST", "/api/fixture/renew", "{}"), "E", "engineer");
    entry.status = 202;
    EXPECT_FALSE(worth_keeping(entry));
    entry.status = 409;
    EXPECT_TRUE(worth_keeping(entry));
    entry.act = "POST /api/fixture/finger";
    entry.status = 202;
    EXPECT_TRUE(worth_keeping(entry));
}

}  // namespace
}  // namespace padtrim::web
