// What is said for the books over HTTP, on a station on paper: what reaches the records, who may,
// and what is refused. The records' own refusals are tested where they are made; the whole way in
// tests/pages.
#include "station/web/books_calls.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/web/roles.hpp"
#include "station/web/router.hpp"
#include "tests/station/web/desk_on_paper.hpp"

namespace padtrim::web {
namespace {

using ::testing::HasSubstr;

class BooksOnPaper : public BooksControl {
  public:
    Work set_sampling_plan(SamplingPlanRequest request) override {
        return [this, request] { return plans.push_back(request), decision; };
    }
    Work choose_units(SampledUnitsRequest request) override {
        return [this, request] { return units.push_back(request), decision; };
    }
    Work resume_sampling(SamplingResumptionRequest request) override {
        return [this, request] { return resumed.push_back(request), decision; };
    }
    Work replace_contacts(ReplacementRequest request) override {
        return [this, request] { return replaced.push_back(request), decision; };
    }
    Decision decision{Outcome::accepted, "It is kept.", "", "1", "0"};
    std::vector<SamplingPlanRequest> plans;
    std::vector<SampledUnitsRequest> units;
    std::vector<SamplingResumptionRequest> resumed;
    std::vector<ReplacementRequest> replaced;
};

class DeskWithBooks : public DeskOnPaper {
  public:
    BooksControl* books() override { return &paper; }
    BooksOnPaper paper;
};

class BooksCalls : public ::testing::Test {
  protected:
    Response post(const std::string& path, const std::string& body,
                  const std::string& person = "") {
        Request request;
        request.method = "POST";
        request.path = path;
        request.host = "127.0.0.1:8480";
        request.body = body;
        request.content_type = "application/json";
        request.person = person;
        return answer(request, desk);
    }
    void expect_refused(const std::string& path, const std::string& body, unsigned status = 400U) {
        const auto response = post(path, body);
        EXPECT_FALSE(response.later) << body;
        EXPECT_EQ(response.status, status) << body;
    }
    DeskWithBooks desk;
};

TEST_F(BooksCalls, APlanReachesTheRecordsThreadWithItsSignature) {
    const auto response = post("/api/quality/sampling-plan",
                               R"({"product":"panel","step":"hover","level":"S-3","aql":0.65,)"
                               R"("who":"M","why":"it takes a minute"})",
                               "Q");
    ASSERT_TRUE(response.later);
    EXPECT_TRUE(desk.paper.plans.empty()) << "nothing is written on the station's thread";
    const auto done = response.later();
    EXPECT_EQ(done.status, 202U);
    EXPECT_EQ(done.before, "1") << "for the audit";
    EXPECT_EQ(done.after, "0");
    ASSERT_EQ(desk.paper.plans.size(), 1U);
    EXPECT_EQ(desk.paper.plans[0].level, "S-3");
    EXPECT_DOUBLE_EQ(desk.paper.plans[0].quality_limit, 0.65);
    EXPECT_EQ(desk.paper.plans[0].who, "Q") << "nobody sets a plan in another's name";
}

// AQLs are a series of preferred numbers (ISO 2859-1, from memory): 3 is none of them.
TEST_F(BooksCalls, APlanNeedsALevelAndALimitThatThereAre) {
    const std::string path = "/api/quality/sampling-plan";
    for (const char* body :
         {"{}", R"({"product":"p","step":"s","aql":3,"who":"Q","why":"x"})",
          R"({"product":"p","step":"s","aql":1,"level":"IV","who":"Q","why":"x"})",
          R"({"product":" ","step":"s","aql":1,"who":"Q","why":"x"})",
          R"({"product":"p","step":"s","aql":1,"who":"Q","why":" "})",
          R"({"product":"p","step":"s","aql":1,"why":"x"})",
          R"({"product":"p","step":"s","aql":1,"who":"Q","why":"x","more":1})"})
        expect_refused(path, body);
    EXPECT_TRUE(desk.paper.plans.empty());
}

TEST_F(BooksCalls, UnitsAreChosenOfALotWithANameAndASize) {
    const std::string path = "/api/quality/sampling-units";
    EXPECT_EQ(post(path, R"({"plan":1,"lot":"2231","size":500,"who":"Q"})").later().status, 202U);
    ASSERT_EQ(desk.paper.units.size(), 1U);
    EXPECT_EQ(desk.paper.units[0].size, 500U);
    for (const char* body :
         {R"({"lot":"2231","size":500,"who":"Q"})", R"({"plan":1,"lot":"","size":500,"who":"Q"})",
          R"({"plan":1,"lot":"2231","size":1,"who":"Q"})", R"({"plan":1,"lot":"2231","who":"Q"})",
          R"({"plan":1,"lot":"2231","size":500})"})
        expect_refused(path, body);
    EXPECT_EQ(desk.paper.units.size(), 1U);
}

TEST_F(BooksCalls, InspectionGoesOnWithAReasonAlone) {
    const std::string path = "/api/quality/sampling-resume";
    EXPECT_EQ(post(path, R"({"plan":1,"who":"Q","why":"new glue"})").later().status, 202U);
    EXPECT_EQ(desk.paper.resumed.at(0).why, "new glue");
    expect_refused(path, R"({"plan":1,"who":"Q"})");
    expect_refused(path, R"({"who":"Q","why":"x"})");
    desk.paper.decision = {Outcome::refused, "Inspection is not stopped.", ""};
    EXPECT_EQ(post(path, R"({"plan":1,"who":"Q","why":"x"})").later().status, 409U);
}

TEST_F(BooksCalls, AReplacementWantsTheCautionsRead) {
    const std::string path = "/api/fixture/replaced";
    const auto unread = post(path, R"({"coil":40,"who":"E","why":"worn"})");
    EXPECT_EQ(unread.status, 400U);
    EXPECT_THAT(unread.body, HasSubstr("supply off by hardware"));
    expect_refused(path, R"({"coil":70000,"cautions_read":true,"who":"E","why":"worn"})");
    expect_refused(path, R"({"cautions_read":true,"who":"E","why":"worn"})");
    expect_refused(path, R"({"coil":40,"cautions_read":true,"who":"E","why":""})");
    EXPECT_EQ(
        post(path, R"({"coil":40,"cautions_read":true,"who":"E","why":"worn"})").later().status,
        202U);
    ASSERT_EQ(desk.paper.replaced.size(), 1U);
    EXPECT_EQ(desk.paper.replaced[0].coils, std::vector<std::uint16_t>{40});
}

TEST_F(BooksCalls, NothingIsReplacedWhileALotRuns) {
    desk.status_.state = answers::StationState::running;
    expect_refused("/api/fixture/replaced",
                   R"({"coil":40,"cautions_read":true,"who":"E","why":"worn"})", 409U);
    EXPECT_TRUE(desk.paper.replaced.empty());
}

TEST_F(BooksCalls, WantAPost) {
    Request request;
    request.method = "GET";
    request.path = "/api/quality/sampling-plan";
    request.host = "127.0.0.1:8480";
    const auto response = answer(request, desk);
    EXPECT_EQ(response.status, 405U);
    EXPECT_EQ(response.allow, "POST");
}

TEST(BooksRoles, PlansAreTheQualityTeamsAndContactsAnEngineers) {
    for (const char* path : {"/api/quality/sampling-plan", "/api/quality/sampling-units",
                             "/api/quality/sampling-resume"}) {
        EXPECT_TRUE(may_call(Role::quality, "POST", path));
        EXPECT_FALSE(may_call(Role::engineering, "POST", path));
        EXPECT_FALSE(may_call(Role::operating, "POST", path));
    }
    EXPECT_TRUE(may_call(Role::engineering, "POST", "/api/fixture/replaced"));
    EXPECT_FALSE(may_call(Role::quality, "POST", "/api/fixture/replaced"));
    EXPECT_FALSE(may_call(Role::operating, "POST", "/api/fixture/replaced"));
}

}  // namespace
}  // namespace padtrim::web
