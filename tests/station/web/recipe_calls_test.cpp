#include "station/web/recipe_calls.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "station/web/roles.hpp"
#include "station/web/router.hpp"
#include "tests/station/web/desk_on_paper.hpp"

namespace padtrim::web {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// An author on paper: notes what it is asked, when the work is done.
class AuthorOnPaper final : public AuthorControl {
  public:
    Sheet sheet() const override {
        return [this]() -> journal::Stored<answers::RecipeSheet> { return sheet_; };
    }
    Work release(std::string who, std::string why) override {
        return noted("release by " + who + ": " + why);
    }
    Work withdraw(std::int64_t release, std::string who, std::string why) override {
        return noted("withdraw " + std::to_string(release) + " by " + who + ": " + why);
    }
    Work permit(answers::PermitWish wish) override {
        wish_ = wish;
        return noted("permit " + wish.name + " by " + wish.who + ": " + wish.why);
    }
    Work noted(std::string what) {
        return [this, what] {
            said_.push_back(what);
            return decision_;
        };
    }
    answers::RecipeSheet sheet_;
    answers::PermitWish wish_;
    Decision decision_{Outcome::accepted, "It is kept.", "", "{\"b\":1}", "{\"a\":2}"};
    std::vector<std::string> said_;
};

class DeskWithAuthor final : public DeskOnPaper {
  public:
    AuthorControl* author() override { return &paper_; }
    AuthorOnPaper paper_;
};

class RecipeCalls : public ::testing::Test {
  protected:
    Response ask(const std::string& method, const std::string& path, const std::string& body = "",
                 const std::string& person = "") {
        Request made;
        made.method = method;
        made.path = path.substr(0, path.find('?'));
        if (path.find('?') != std::string::npos) made.query = path.substr(path.find('?') + 1);
        made.host = "127.0.0.1:8480";
        made.body = body;
        made.person = person;
        if (!body.empty()) made.content_type = "application/json";
        Response told = answer(made, desk);
        return told.later ? told.later() : told;
    }
    Response post(const std::string& call, const std::string& body,
                  const std::string& person = "") {
        return ask("POST", "/api/recipe/" + call, body, person);
    }
    DeskWithAuthor desk;
    AuthorOnPaper& paper = desk.paper_;
};

TEST_F(RecipeCalls, KeepWhoDecidesAndWhy) {
    const auto kept = post("release", R"({"who":"E","why":"trial lot was good"})");
    EXPECT_EQ(kept.status, 202U);
    EXPECT_EQ(kept.before, "{\"b\":1}");
    EXPECT_EQ(kept.after, "{\"a\":2}");
    EXPECT_EQ(post("withdraw", R"({"release":3,"who":"E","why":"wrong"})").status, 202U);
    EXPECT_THAT(paper.said_,
                ElementsAre("release by E: trial lot was good", "withdraw 3 by E: wrong"));
}

// What is sent counts for nothing beside a login.
TEST_F(RecipeCalls, TakeTheNameOfTheLogin) {
    EXPECT_EQ(post("release", R"({"who":"somebody","why":"x"})", "Eva").status, 202U);
    EXPECT_EQ(post("release", R"({"why":"x"})", "Eva").status, 202U);
    EXPECT_THAT(paper.said_, ElementsAre("release by Eva: x", "release by Eva: x"));
}

TEST_F(RecipeCalls, DecideNothingWithoutANameAReasonOrAnEnd) {
    for (const char* body : {"{}", R"({"who":"E"})", R"({"why":"x"})", R"({"who":"E","why":"  "})",
                             R"({"who":"E","why":"x","recipe":"/etc/passwd"})"})
        EXPECT_EQ(post("release", body).status, 400U) << body;
    EXPECT_EQ(post("withdraw", R"({"who":"E","why":"x"})").status, 400U);
    for (const char* body :
         {R"({"who":"E","why":"x","name":"n"})", R"({"who":"E","why":"x","quantity":5})",
          R"({"who":"E","why":"x","name":"n","until":"soon"})",
          R"({"who":"E","why":"x","name":" ","quantity":5})"})
        EXPECT_EQ(post("permit", body).status, 400U) << body;
    EXPECT_THAT(paper.said_, IsEmpty());
}

TEST_F(RecipeCalls, PassOnUntilWhenAndForHowMany) {
    EXPECT_EQ(
        post("permit", R"({"who":"E","why":"x","name":"wider","until":"2026-03-31","quantity":20})")
            .status,
        202U);
    EXPECT_EQ(paper.wish_.quantity, 20U);
    // The end of a day is the first moment of the next (answers/times.hpp).
    EXPECT_EQ(answers::iso_8601(*paper.wish_.until), "2026-04-01T00:00:00.000Z");
}

TEST_F(RecipeCalls, CompareReleasesAndNoFiles) {
    for (const char* query :
         {"", "?before=1", "?before=1&after=/etc/passwd", "?before=%2Fetc%2Fpasswd&after=1",
          "?before=a.toml&after=b.toml", "?before=-1&after=2"})
        EXPECT_EQ(ask("GET", std::string("/api/changes") + query).status, 400U) << query;
}

TEST_F(RecipeCalls, TellTheSheetAsJson) {
    paper.sheet_.recipe = "hob";
    paper.sheet_.steps = {{"noise", "noise", ""}, {"write trims", "write trims", "It writes."}};
    const auto told = ask("GET", "/api/recipe");
    EXPECT_EQ(told.status, 200U);
    const auto sheet = answers::parse_json(told.body);
    EXPECT_EQ(sheet->at("recipe").as_string(), "hob");
    EXPECT_EQ(sheet->at("steps").at(1).at("not_alone").as_string(), "It writes.");
    EXPECT_TRUE(sheet->at("before").is_null());
}

TEST_F(RecipeCalls, SayWhatIsRefused) {
    paper.decision_ = {Outcome::refused, "It is released already.", "Nothing was decided."};
    const auto refused = post("release", R"({"who":"E","why":"x"})");
    EXPECT_EQ(refused.status, 409U);
    EXPECT_THAT(refused.body, HasSubstr("released already"));
}

TEST_F(RecipeCalls, AreAnEngineers) {
    for (const char* call : {"release", "withdraw", "permit"}) {
        const std::string path = std::string("/api/recipe/") + call;
        EXPECT_TRUE(may_call(Role::engineering, "POST", path));
        EXPECT_TRUE(may_call(Role::administration, "POST", path));
        EXPECT_FALSE(may_call(Role::operating, "POST", path));
        EXPECT_FALSE(may_call(Role::quality, "POST", path));
        EXPECT_EQ(ask("GET", path).status, 405U);
    }
    EXPECT_TRUE(may_call(Role::quality, "GET", "/api/recipe"));
}

}  // namespace
}  // namespace padtrim::web
