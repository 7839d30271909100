#include "station/web/router.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "station/web/loopback_guard.hpp"
#include "tests/station/web/desk_on_paper.hpp"

namespace padtrim::web {
namespace {

class Router : public ::testing::Test {
  protected:
    DeskOnPaper desk;

    static Request request(const std::string& method, const std::string& path,
                           const std::string& body = "") {
        Request result;
        result.method = method;
        result.path = path;
        result.host = "127.0.0.1:8480";
        result.body = body;
        if (!body.empty()) result.content_type = "application/json";
        return result;
    }
    Response ask(const Request& what) { return answer(what, desk); }
    Response post(const std::string& path, const std::string& body = "") {
        return ask(request("POST", path, body));
    }
};

TEST_F(Router, AnswersTheStatusAsJson) {
    desk.status_.lot = "L7";
    const auto response = ask(request("GET", "/api/status"));
    EXPECT_EQ(response.status, 200u);
    EXPECT_EQ(answers::parse_json(response.body)->at("lot").as_string(), "L7");
    EXPECT_EQ(answers::parse_json(response.body)->at("state").as_string(), "ready");
}

TEST_F(Router, StartsALotAsAsked) {
    const auto response = post("/api/lot/start",
                               "{\"lot\":\"L\",\"units\":24,\"measure_only\":true,"
                               "\"operator\":\"me\",\"plan\":\"text\"}");
    EXPECT_EQ(response.status, 202u);
    ASSERT_EQ(desk.started_.size(), 1u);
    EXPECT_EQ(desk.started_[0].units, 24u);
    EXPECT_TRUE(desk.started_[0].measure_only);
    EXPECT_EQ(desk.started_[0].operator_name, "me");
    EXPECT_EQ(desk.started_[0].plan_text, "text");
    EXPECT_FALSE(desk.started_[0].again);
    EXPECT_EQ(post("/api/lot/start", R"({"lot":"M","again":true})").status, 202u);
    EXPECT_TRUE(desk.started_[1].again);
}

TEST_F(Router, StartsOneStepAloneAsADraftThatOnlyMeasures) {
    EXPECT_EQ(post("/api/lot/start", R"({"lot":"S","step":"noise","nest":2})").status, 202u);
    ASSERT_EQ(desk.started_.size(), 1u);
    EXPECT_EQ(desk.started_[0].step, "noise");
    EXPECT_EQ(desk.started_[0].nest, 2);
    EXPECT_TRUE(desk.started_[0].draft);
    EXPECT_TRUE(desk.started_[0].measure_only);
    EXPECT_EQ(post("/api/lot/start", R"({"lot":"S","step":"noise","nest":70000})").status, 400u);
    auto by_operator = request("POST", "/api/lot/start", R"({"lot":"S","step":"noise"})");
    by_operator.may_draft = false;
    EXPECT_EQ(ask(by_operator).status, 403u);
    EXPECT_EQ(desk.started_.size(), 1u);
}

TEST_F(Router, StartsAShiftCheckForANamedPersonAndTellsTheNewest) {
    EXPECT_EQ(post("/api/shift-check/start", "{}").status, 400u);
    EXPECT_EQ(post("/api/shift-check/start", "{\"lot\":\"L\"}").status, 400u);
    EXPECT_EQ(desk.checked_by_, "");
    EXPECT_EQ(post("/api/shift-check/start", "{\"operator\":\"M\"}").status, 202u);
    EXPECT_EQ(desk.checked_by_, "M");
    EXPECT_EQ(ask(request("GET", "/api/shift-check/start")).status, 405u);

    EXPECT_EQ(ask(request("GET", "/api/shift-check")).status, 404u);
    desk.check_.emplace();
    desk.check_->cause = "it drifted";
    const auto told = ask(request("GET", "/api/shift-check"));
    EXPECT_EQ(told.status, 200u);
    EXPECT_EQ(answers::parse_json(told.body)->at("cause").as_string(), "it drifted");
    EXPECT_EQ(answers::parse_json(told.body)->at("decision").as_string(), "blocked");
}

TEST_F(Router, StartsNothingOnABodyItDoesNotUnderstand) {
    for (const char* body :
         {"{}", "{\"lot\":\"\"}", "{\"lot\":7}", "[", "{\"lot\":\"L\",\"units\":-1}",
          "{\"lot\":\"L\",\"units\":1.5}", "{\"lot\":\"L\",\"unitz\":1}", "[]"}) {
        EXPECT_EQ(post("/api/lot/start", body).status, 400u) << body;
    }
    EXPECT_TRUE(desk.started_.empty());
}

TEST_F(Router, TellsTheCautionsWithWhatItAccepts) {
    const auto answer = answers::parse_json(post("/api/lot/start", "{\"lot\":\"L\"}").body);
    const std::string caution(answer->at("caution").as_string());
    EXPECT_NE(caution.find("Stopping commands is not stopping motion"), std::string::npos);
    EXPECT_EQ(caution.find('\n'), std::string::npos);
}

TEST_F(Router, NamesTheMemberThatIsWrong) {
    const auto error = [&](const std::string& body) {
        const auto answer = answers::parse_json(post("/api/lot/start", body).body);
        return std::string(answer->at("error").as_string());
    };
    EXPECT_EQ(error("{\"lot\":\"L\",\"unitz\":1}"), "There is no member \"unitz\" in this call.");
    EXPECT_EQ(error("{\"lot\":5}"), "\"lot\" has to be a string.");
    EXPECT_EQ(error("{\"lot\":\"L\",\"units\":-1}"),
              "\"units\" has to be a whole number from 0 to 1000000.");
    EXPECT_EQ(error("{}"), "The name of the lot is empty. Give one.");
    EXPECT_EQ(error("["), "The body is not a JSON object.");
}

TEST_F(Router, TakesNoLotNameThatCouldForgeAnother) {
    for (const char* name : {"x\\u0000<b>", "two\\nlines", " led by a blank", "\\u202Eback"}) {
        EXPECT_EQ(post("/api/lot/start", std::string("{\"lot\":\"") + name + "\"}").status, 400u)
            << name;
    }
    EXPECT_EQ(post("/api/lot/start", "{\"lot\":\"" + std::string(10'000, 'x') + "\"}").status,
              400u);
    EXPECT_TRUE(desk.started_.empty());
}

TEST_F(Router, SaysConflictWhenTheStationRefuses) {
    desk.decision_ = {Outcome::refused, "Lot L runs.", "Stop it first."};
    const auto response = post("/api/lot/start", "{\"lot\":\"M\"}");
    EXPECT_EQ(response.status, 409u);
    EXPECT_EQ(answers::parse_json(response.body)->at("error").as_string(), "Lot L runs.");
}

TEST_F(Router, AbortsTheNestOfThePathOnly) {
    EXPECT_EQ(post("/api/nest/3/abort").status, 202u);
    EXPECT_EQ(desk.aborted_, (std::vector<std::uint16_t>{3}));
    EXPECT_EQ(post("/api/nest/9/abort").status, 404u);
    for (const char* path : {"/api/nest/x/abort", "/api/nest//abort", "/api/nest/3/fire",
                             "/api/nest/99999/abort", "/api/nest/3", "/api/nest/-1/abort"}) {
        EXPECT_EQ(post(path).status, 404u) << path;
    }
    EXPECT_EQ(desk.aborted_.size(), 2u);
}

TEST_F(Router, StopsAndLoadsAndClears) {
    EXPECT_EQ(post("/api/lot/stop").status, 202u);
    EXPECT_EQ(desk.stops_, 1);
    EXPECT_EQ(post("/api/nest/1/load", "{\"label\":\"HOB8-1\"}").status, 202u);
    EXPECT_EQ(post("/api/nest/1/load").status, 202u);
    EXPECT_EQ(desk.labels_, (std::vector<std::string>{"HOB8-1", ""}));
    EXPECT_EQ(post("/api/fault/clear").status, 400u) << "a person has to say so";
    EXPECT_EQ(post("/api/fault/clear", "{\"operator\":\"me\"}").status, 202u);
    EXPECT_EQ(desk.cleared_by_, "me");
}

TEST_F(Router, NeverActsOnAGet) {
    for (const char* path : {"/api/lot/start", "/api/lot/stop", "/api/nest/1/abort"}) {
        const auto response = ask(request("GET", path));
        EXPECT_EQ(response.status, 405u);
        EXPECT_EQ(response.allow, "POST");
    }
    EXPECT_EQ(desk.stops_, 0);
    EXPECT_TRUE(desk.aborted_.empty());
}

TEST_F(Router, GivesTheEventsSinceANumber) {
    for (std::uint16_t nest = 1; nest <= 3; ++nest)
        desk.log_.add(engine::UnitIdentified{nest, "S"});
    auto events = request("GET", "/api/events");
    events.query = "after=2";
    const auto json = answers::parse_json(ask(events).body);
    EXPECT_EQ(json->at("events").as_array().size(), 1u);
    EXPECT_EQ(json->at("events").as_array()[0].at("number").to_number<int>(), 3);
    EXPECT_EQ(json->at("last").to_number<int>(), 3);
    events.query = "after=x";
    EXPECT_EQ(ask(events).status, 400u);
}

TEST_F(Router, TurnsAwayForeignNamesAndPages) {
    auto foreign = request("POST", "/api/lot/stop");
    for (const char* host : {"station.example", "127.0.0.1.example", "localhost.example:80", "",
                             "127.0.0.1:80@evil", "127.0.0.2", "[::1]x"}) {
        foreign.host = host;
        EXPECT_EQ(ask(foreign).status, 403u) << host;
    }
    auto page = request("POST", "/api/lot/stop");
    for (const char* origin : {"http://shop.example", "null", "https://127.0.0.1.example",
                               "file://", "http://localhost.example"}) {
        page.origin = origin;
        EXPECT_EQ(ask(page).status, 403u) << origin;
    }
    page.origin = "http://127.0.0.1:8480";
    page.fetch_site = "cross-site";
    EXPECT_EQ(ask(page).status, 403u);
    EXPECT_EQ(desk.stops_, 0);
    page.fetch_site = "same-origin";
    EXPECT_EQ(ask(page).status, 202u);
}

TEST_F(Router, TakesNoFormThatAForeignPageCouldSend) {
    auto form = request("POST", "/api/lot/start", "{\"lot\":\"L\"}");
    form.content_type = "text/plain";
    EXPECT_EQ(ask(form).status, 415u);
    form.content_type = "Application/JSON; charset=utf-8";
    EXPECT_EQ(ask(form).status, 202u);
}

// RFC 6454: scheme, host and port make an origin; RFC 6125, section 6.4.3: "*" is one label.
TEST_F(Router, OverTlsAnswersUnderTheNamesOfItsCertificate) {
    auto far = request("POST", "/api/lot/stop");
    far.secure = true;
    far.names = std::make_shared<const std::vector<std::string>>(std::vector<std::string>{
        "line-3.example", "*.plant.example", "192.0.2.7", "[2001:db8::7]"});
    for (const char* host :
         {"line-3.example", "LINE-3.example:8443", "a.plant.example:1", "192.0.2.7:8443",
          "[2001:db8::7]:8443", "[2001:db8::7]", "localhost:9"}) {
        far.host = host;
        EXPECT_EQ(ask(far).status, 202u) << host;
    }
    for (const char* host : {"example", "x.line-3.example", "a.b.plant.example", ".plant.example",
                             "plant.example", "192.0.2.70", "line-3.example:x", "", ":8443"}) {
        far.host = host;
        EXPECT_EQ(ask(far).status, 403u) << host;
    }
    far.host = "line-3.example:8443";
    far.origin = "https://line-3.example:8443";
    EXPECT_EQ(ask(far).status, 202u);
    for (const char* origin : {"http://line-3.example:8443", "https://line-3.example",
                               "https://a.plant.example:8443", "null"}) {
        far.origin = origin;
        EXPECT_EQ(ask(far).status, 403u) << origin;
    }
    far.origin.reset();
    far.secure = false;
    EXPECT_EQ(ask(far).status, 403u) << "the names are those of the certificate";
}

TEST_F(Router, TakesAPageOfAnotherPortForForeign) {
    auto page = request("POST", "/api/lot/stop");
    page.origin = "http://127.0.0.1:9999";
    EXPECT_EQ(ask(page).status, 403u);
    page.origin = "http://127.0.0.1:8480";
    EXPECT_EQ(ask(page).status, 202u);
}

TEST(Loopback, KnowsItsOwnNames) {
    for (const char* own :
         {"127.0.0.1", "127.0.0.1:8480", "localhost:1", "LOCALHOST", "[::1]:80"}) {
        EXPECT_TRUE(is_loopback(own)) << own;
    }
    for (const char* other : {"127.0.0.1:", "127.0.0.1:123456", "localhost:8x", "::1", "0.0.0.0"}) {
        EXPECT_FALSE(is_loopback(other)) << other;
    }
}

TEST_F(Router, HandsOnAnAnswerAndRefusesAnythingElseThanYesOrNo) {
    EXPECT_EQ(answer(request("POST", "/api/nest/2/answer", R"({"answer":"no"})"), desk).status,
              202U);
    EXPECT_EQ(answer(request("POST", "/api/nest/2/answer", R"({"answer":"perhaps"})"), desk).status,
              400U);
    EXPECT_EQ(answer(request("POST", "/api/nest/2/answer"), desk).status, 400U);
    ASSERT_EQ(desk.answers_.size(), 1U);
    EXPECT_EQ(desk.answers_[0], (std::pair<std::uint16_t, bool>{2, false}));
}

TEST_F(Router, PutsARejectedUnitAwayInSomebodysNameOrNobodys) {
    EXPECT_EQ(post("/api/nest/2/put-aside", R"({"operator":"M"})").status, 202U);
    EXPECT_EQ(post("/api/nest/2/put-aside").status, 202U);
    EXPECT_EQ(post("/api/nest/2/put-aside", R"({"who":"M"})").status, 400U);
    ASSERT_EQ(desk.put_aside_.size(), 2U);
    EXPECT_EQ(desk.put_aside_[0], (std::pair<std::uint16_t, std::string>{2, "M"}));
    EXPECT_EQ(desk.put_aside_[1].second, "");
}

TEST_F(Router, GivesThePanelInMillimetresWithItsCautions) {
    desk.status_.station = "line-3";
    desk.plan_.map.panel_width = Millimetre(198);
    desk.plan_.map.keys = {{"timer",
                            language::KeyKind::wheel,
                            {0},
                            Millimetre(12),
                            Millimetre(30),
                            Millimetre(14),
                            Millimetre(15),
                            {},
                            Millimetre(0)}};
    desk.plan_.fixture.nests.resize(2);
    desk.plan_.fixture.nests[1].number = 2;
    desk.plan_.fixture.nests[1].advance_coil = 40;
    desk.plan_.fixture.nests[1].present_input = 1;
    const auto panel = answers::parse_json(ask(request("GET", "/api/panel")).body);
    ASSERT_TRUE(panel);
    EXPECT_EQ(panel->at("station").as_string(), "line-3");
    EXPECT_EQ(panel->at("width_mm").to_number<double>(), 198.0);
    EXPECT_EQ(panel->at("keys").at(0).at("name").as_string(), "timer");
    EXPECT_EQ(panel->at("keys").at(0).at("kind").as_string(), "wheel");
    EXPECT_EQ(panel->at("keys").at(0).at("x_mm").to_number<double>(), 12.0);
    EXPECT_TRUE(panel->at("nests").at(0).at("by_hand").as_bool());
    EXPECT_FALSE(panel->at("nests").at(1).at("by_hand").as_bool());
    EXPECT_NE(panel->at("caution").as_string().find("hands out"), std::string::npos);
}

TEST_F(Router, MarksTheLiveAnswerAsAStream) {
    EXPECT_TRUE(ask(request("GET", "/api/live")).live);
    EXPECT_EQ(ask(request("POST", "/api/live")).status, 405U);
    auto foreign = request("GET", "/api/live");
    foreign.fetch_site = "cross-site";
    EXPECT_FALSE(ask(foreign).live);
}

TEST_F(Router, TellsBeforeAStartWhatIsInItsWay) {
    desk.report_.obstacles = {{answers::ObstacleAt::plan, "It is not released. Release it.", true}};
    auto state = answers::parse_json(live_state(desk));
    EXPECT_FALSE(state->at("start").at("free").as_bool());
    EXPECT_TRUE(state->at("start").at("free_as_draft").as_bool());
    EXPECT_EQ(state->at("start").at("obstacles").at(0).at("at").as_string(), "plan");
    desk.report_.obstacles.push_back({answers::ObstacleAt::ports, "No port.", false});
    state = answers::parse_json(live_state(desk));
    EXPECT_FALSE(state->at("start").at("free_as_draft").as_bool());
    desk.status_.state = answers::StationState::running;
    state = answers::parse_json(live_state(desk));
    EXPECT_EQ(state->as_object().if_contains("start"), nullptr);
}

TEST_F(Router, SendsOnlyTheNewestMarksOfALongTape) {
    for (int i = 0; i < 5000; ++i)
        desk.status_.tape.push_back({"S" + std::to_string(i), 1, answers::Mark::pass});
    const auto state = answers::parse_json(live_state(desk));
    EXPECT_EQ(state->at("marks").to_number<int>(), 5000);
    EXPECT_EQ(state->at("tape").as_array().size(), 300U);
    EXPECT_EQ(state->at("tape").as_array().back().at("serial").as_string(), "S4999");
}

TEST_F(Router, AsksTheRecordsBesideTheStation) {
    for (const char* path : {"/api/releases", "/api/unit", "/api/observations"}) {
        const auto response = ask(request("GET", path));
        ASSERT_TRUE(response.later) << path;
        EXPECT_EQ(response.later().status, 500U) << "there is no such file";
        EXPECT_EQ(ask(request("POST", path)).status, 405U);
    }
}

TEST_F(Router, HandsADecisionToTheRecordsOwnThread) {
    const std::string good =
        "{\"serial\":\"U1\",\"to\":\"scrap\",\"why\":\"broken\",\"who\":\"M\"}";
    const auto response = post("/api/quality/dispose", good);
    ASSERT_TRUE(response.later);
    EXPECT_TRUE(desk.disposed_.empty()) << "nothing is written on the station's thread";
    EXPECT_EQ(response.later().status, 202U);
    ASSERT_EQ(desk.disposed_.size(), 1U);
    EXPECT_EQ(desk.disposed_[0].to, record::Disposition::scrap);
    EXPECT_EQ(desk.disposed_[0].who, "M");
    auto logged_in = request("POST", "/api/quality/dispose", good);
    logged_in.person = "Q";
    (void)ask(logged_in).later();
    EXPECT_EQ(desk.disposed_.back().who, "Q") << "nobody decides in another's name";
    const std::string whose = R"("to":"scrap","why":"broken","who":"M"})";
    EXPECT_EQ(post("/api/quality/dispose", R"({"run":7,)" + whose).later().status, 202U);
    EXPECT_EQ(desk.disposed_.back().run, 7);
    EXPECT_EQ(post("/api/quality/dispose", "{" + whose).status, 400U);
    desk.decision_ = {Outcome::refused, "It was run again.", ""};
    EXPECT_EQ(post("/api/quality/dispose", good).later().status, 409U);
}

TEST_F(Router, TakesNoDecisionWithoutUnitReasonOrPerson) {
    for (const char* body : {"{}", "{\"serial\":\"U1\",\"to\":\"scrap\",\"why\":\"x\"}",
                             "{\"serial\":\"\",\"to\":\"scrap\",\"why\":\"x\",\"who\":\"M\"}",
                             "{\"serial\":\"U1\",\"to\":\"undecided\",\"why\":\"x\",\"who\":\"M\"}",
                             "{\"serial\":\"U1\",\"to\":\"scrap\",\"why\":\" \",\"who\":\"M\"}"}) {
        const auto response = post("/api/quality/dispose", body);
        EXPECT_FALSE(response.later) << body;
        EXPECT_EQ(response.status, 400U) << body;
    }
}

TEST_F(Router, ServesPagesBesideTheCalls) {
    EXPECT_EQ(ask(request("GET", "/")).content_type, "text/html; charset=utf-8");
    EXPECT_EQ(ask(request("GET", "/api/nothing")).content_type, "application/json");
    auto foreign = request("GET", "/");
    foreign.host = "station.example";
    EXPECT_EQ(ask(foreign).status, 403U);
}

}  // namespace
}  // namespace padtrim::web
