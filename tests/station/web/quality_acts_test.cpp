// What the quality team changes over HTTP, on a station on paper: what reaches the records, who
// may, what the audit keeps, and what is refused. The records' own refusals are tested where they
// are made (tests/db/ledger, tests/station/answers), and the whole way in tests/pages.
#include "station/web/quality_acts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/web/router.hpp"
#include "tests/station/web/desk_on_paper.hpp"

namespace padtrim::web {
namespace {

using ::testing::HasSubstr;

class QualityActs : public ::testing::Test {
  protected:
    Response post(const std::string& path, const std::string& body,
                  const std::string& person = "") {
        Request request;
        request.method = "POST";
        request.path = "/api/quality/" + path;
        request.host = "127.0.0.1:8480";
        request.body = body;
        request.content_type = "application/json";
        request.person = person;
        return answer(request, desk);
    }
    // What nothing of reaches the records.
    void expect_refused(const std::string& path, const std::string& body) {
        const auto response = post(path, body);
        EXPECT_FALSE(response.later) << body;
        EXPECT_EQ(response.status, 400U) << body;
        EXPECT_THAT(response.body, HasSubstr("mend")) << body;
    }
    DeskOnPaper desk;
};

TEST_F(QualityActs, HandAReplyToTheRecordsOwnThread) {
    const std::string good = R"({"alarm":7,"why":"new glue","who":"M"})";
    const auto response = post("alarm", good);
    ASSERT_TRUE(response.later);
    EXPECT_TRUE(response.act) << "it waits behind no question";
    EXPECT_TRUE(desk.replied_.empty()) << "nothing is written on the station's thread";
    EXPECT_EQ(response.later().status, 202U);
    ASSERT_EQ(desk.replied_.size(), 1U);
    EXPECT_EQ(desk.replied_[0].alarm, 7);
    EXPECT_EQ(desk.replied_[0].why, "new glue");
    EXPECT_EQ(desk.replied_[0].who, "M");
    (void)post("alarm", good, "Q").later();
    EXPECT_EQ(desk.replied_.back().who, "Q") << "nobody replies in another's name";
}

TEST_F(QualityActs, SayWhatTheRecordsRefuse) {
    desk.decision_ = {Outcome::unknown, "There is no alarm 9 in these records.", ""};
    EXPECT_EQ(post("alarm", R"({"alarm":9,"why":"x","who":"M"})").later().status, 404U);
    desk.decision_ = {Outcome::refused, "A chart of shares cannot be frozen.", ""};
    EXPECT_EQ(post("freeze", R"({"kind":"share","why":"x","who":"M"})").later().status, 409U);
    desk.decision_ = {Outcome::bad, "No lot 'L-9'.", ""};
    EXPECT_EQ(post("freeze", R"({"lot":"L-9","why":"x","who":"M"})").later().status, 400U);
}

TEST_F(QualityActs, TakeNoReplyWithoutAlarmReasonOrPerson) {
    for (const char* body :
         {"{}", "[]", R"({"why":"x","who":"M"})", R"({"alarm":0,"why":"x","who":"M"})",
          R"({"alarm":-1,"why":"x","who":"M"})", R"({"alarm":"7","why":"x","who":"M"})",
          R"({"alarm":7,"why":" ","who":"M"})", R"({"alarm":7,"why":"x"})",
          R"({"alarm":7,"who":"M"})", R"({"alarm":7,"why":"x","who":"M","all":true})"})
        expect_refused("alarm", body);
    EXPECT_TRUE(desk.replied_.empty());
}

// The same members as the question's, as text or as numbers.
TEST_F(QualityActs, KeepTheChartsOfTheQuestion) {
    const auto response = post(
        "freeze",
        R"({"check":"gain","key":"timer","kind":"weighted","baseline":"50","lambda":0.2,)"
        R"("channel":3,"as-left":true,"anew":"yes","lot":"L-1","why":"first month","who":"M"})");
    ASSERT_TRUE(response.later);
    EXPECT_FALSE(response.act) << "it reckons as long as a question does, and waits with them";
    EXPECT_EQ(response.later().status, 202U);
    ASSERT_EQ(desk.frozen_.size(), 1U);
    const auto& asked = desk.frozen_[0];
    EXPECT_EQ(asked.words.check, "gain");
    EXPECT_EQ(asked.words.key, "timer");
    EXPECT_EQ(asked.words.lot, "L-1");
    EXPECT_EQ(asked.words.channel, 3);
    EXPECT_EQ(asked.charts.kind, answers::ControlKind::weighted);
    EXPECT_EQ(asked.charts.baseline, 50U);
    EXPECT_EQ(asked.charts.weighted.lambda, 0.2);
    EXPECT_FALSE(asked.charts.use_frozen);
    EXPECT_EQ(asked.stage, record::Stage::as_left);
    EXPECT_EQ(asked.why, "first month");
    (void)post("freeze", R"({"check":"gain","why":"x","who":"M"})", "Q").later();
    EXPECT_EQ(desk.frozen_.back().who, "Q");
    EXPECT_FALSE(desk.frozen_.back().charts.use_frozen) << "a chart is not kept from a kept one";
}

TEST_F(QualityActs, KeepNoChartsWithoutReasonPersonOrSense) {
    for (const char* body :
         {"", "[]", "{", R"({"check":"gain"})", R"({"check":"gain","why":"x"})",
          R"({"check":"gain","who":"M"})", R"({"check":"gain","why":"x","who":" M"})",
          R"({"chek":"gain","why":"x","who":"M"})", R"({"check":["gain"],"why":"x","who":"M"})",
          R"({"check":null,"why":"x","who":"M"})", R"({"kind":"pie","why":"x","who":"M"})",
          R"({"baseline":-4,"why":"x","who":"M"})", R"({"lambda":7.5,"why":"x","who":"M"})",
          R"({"format":"csv","why":"x","who":"M"})"})
        expect_refused("freeze", body);
    EXPECT_TRUE(desk.frozen_.empty());
}

TEST_F(QualityActs, HandWhatSamplingFoundToTheRecordsOwnThread) {
    const std::string good = R"({"plan":2,"lot":"2231","nonconforming":0,"who":"M"})";
    const auto response = post("sampling-result", good);
    ASSERT_TRUE(response.later && response.act);
    EXPECT_TRUE(desk.sampled_.empty());
    EXPECT_EQ(response.later().status, 202U);
    ASSERT_EQ(desk.sampled_.size(), 1U);
    EXPECT_EQ(desk.sampled_[0].plan, 2);
    EXPECT_EQ(desk.sampled_[0].lot, "2231");
    EXPECT_EQ(desk.sampled_[0].nonconforming, 0U);
    (void)post("sampling-result", good, "Q").later();
    EXPECT_EQ(desk.sampled_.back().who, "Q");
    for (const char* body :
         {"{}", R"({"lot":"2231","nonconforming":0,"who":"M"})",
          R"({"plan":2,"nonconforming":0,"who":"M"})", R"({"plan":2,"lot":"2231","who":"M"})",
          R"({"plan":2,"lot":"2231","nonconforming":-1,"who":"M"})",
          R"({"plan":2,"lot":"2231","nonconforming":"0","who":"M"})",
          R"({"plan":2,"lot":"2231","nonconforming":0})"})
        expect_refused("sampling-result", body);
    EXPECT_EQ(desk.sampled_.size(), 2U);
}

TEST_F(QualityActs, AreOnlyPosted) {
    for (const char* path : {"alarm", "freeze", "dispose", "sampling-result"}) {
        Request get;
        get.method = "GET";
        get.path = std::string("/api/quality/") + path;
        get.host = "127.0.0.1:8480";
        EXPECT_EQ(answer(get, desk).status, 405U) << path;
    }
    EXPECT_EQ(quality_act("/api/quality/alarms"), nullptr) << "that is a question";
    EXPECT_EQ(post("alarms", "{}").status, 405U);
}

}  // namespace
}  // namespace padtrim::web
