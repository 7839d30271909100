// Work by hand over HTTP: the real daemon on the real bytes of a virtual bench.
#include <gmock/gmock.h>

#include "tests/station/cli/daemon_fixture.hpp"

namespace padtrim {
namespace {

using namespace test_support;
using ::testing::HasSubstr;

class ByHandProgram : public DaemonProgram {
  protected:
    void SetUp() override {
        start_bench({"--defects", "none"}, "1");
        start_daemon();
    }
    Json hold() { return answers::parse_json(call("GET", "/api/fixture/hold").body).value(); }
    // Asks until the hold is so; false after many answers. The lease is kept alive meanwhile.
    bool until(const std::string& member, const Json& wanted, const std::string& lease = "") {
        for (int i = 0; i < 20'000; ++i) {
            if (hold().at(member) == wanted) return true;
            if (!lease.empty() && i % 500 == 0) by_hand("renew", {}, lease);
        }
        return false;
    }
    std::string take() {
        const auto taken =
            call("POST", "/api/fixture/take", R"({"operator":"E","cautions_read":true})");
        EXPECT_EQ(taken.status, 202U) << taken.body;
        return std::string(answers::parse_json(taken.body)->at("lease").as_string());
    }
    web::Response by_hand(const std::string& what, boost::json::object body,
                          const std::string& lease) {
        body["lease"] = lease;
        return call("POST", "/api/fixture/" + what, answers::text_of(body));
    }
};

TEST_F(ByHandProgram, ConnectsAStepThatWearsAndLetsNoLotBeginMeanwhile) {
    const std::string lease = take();
    ASSERT_TRUE(until("state", "held", lease));
    const auto lot = call("POST", "/api/lot/start", R"({"lot":"H"})");
    EXPECT_EQ(lot.status, 409U);
    EXPECT_THAT(lot.body, HasSubstr("E works on the fixture by hand"));
    EXPECT_EQ(call("POST", "/api/shift-check/start", R"({"operator":"T"})").status, 409U);
    EXPECT_EQ(by_hand("connect", {{"nest", 2}, {"channel", 3}, {"reference", "R2"}}, lease).status,
              202U);
    ASSERT_TRUE(until("state", "held", lease));
    EXPECT_EQ(hold().at("connected").at("channel").to_number<int>(), 3);
    EXPECT_EQ(by_hand("give-back", {}, lease).status, 202U);
    ASSERT_TRUE(until("state", "over"));
    EXPECT_TRUE(hold().at("connected").is_null());
    EXPECT_EQ(by_hand("connect", {{"reference", "R2"}}, lease).status, 409U);
    const auto wear = answers::parse_json(call("GET", "/api/fixture/wear").body);
    EXPECT_EQ(wear->at("contacts").as_array()[0].at("use").as_string(), "R2 on nest 2, channel 3");
    EXPECT_EQ(wear->at("contacts").as_array()[0].at("operations").to_number<int>(), 1);
    EXPECT_EQ(call("POST", "/api/lot/start", R"({"lot":"H","units":1})").status, 202U);
    EXPECT_EQ(end_daemon(), 0) << daemon->err();
}

TEST_F(ByHandProgram, MovesTheFingerOnlyWithItsLeaseAndItsBounds) {
    const std::string lease = take();
    ASSERT_TRUE(until("state", "held", lease));
    EXPECT_EQ(by_hand("finger", {{"act", "home"}}, "somebody else's").status, 409U);
    ASSERT_EQ(by_hand("finger", {{"act", "home"}}, lease).status, 202U);
    ASSERT_TRUE(until("state", "held", lease));
    const double before = hold().at("finger").at("x_mm").to_number<double>();
    ASSERT_EQ(by_hand("finger", {{"act", "step"}, {"x_mm", 1.0}}, lease).status, 202U);
    ASSERT_TRUE(until("state", "held", lease));
    EXPECT_NEAR(hold().at("finger").at("x_mm").to_number<double>(), before + 1.0, 0.01);
    ASSERT_EQ(by_hand("finger", {{"act", "step"}, {"x_mm", 50.0}}, lease).status, 202U);
    ASSERT_TRUE(until("sentence", "A step is 5 mm at most along each axis.", lease));
    EXPECT_EQ(call("POST", "/api/fixture/stop").status, 202U);
    ASSERT_TRUE(until("state", "over"));
    EXPECT_EQ(end_daemon(), 0) << daemon->err();
}

TEST_F(ByHandProgram, GivesTheFixtureBackWhenTheDaemonLeaves) {
    const std::string lease = take();
    ASSERT_TRUE(until("state", "held", lease));
    ASSERT_EQ(by_hand("connect", {{"nest", 1}, {"channel", 0}, {"reference", "R1"}}, lease).status,
              202U);
    ASSERT_TRUE(until("state", "held", lease));
    EXPECT_EQ(end_daemon(), 0) << daemon->err();
    run({program, "wear", four_nests, "--records", records, "--station", "test", "--json"});
    EXPECT_THAT(said, HasSubstr(R"("operations":1)")) << "its end was not waited for";
}

TEST_F(ByHandProgram, IsNotTakenWhileALotRuns) {
    ASSERT_EQ(call("POST", "/api/lot/start", R"({"lot":"H","units":1})").status, 202U);
    const auto taken =
        call("POST", "/api/fixture/take", R"({"operator":"E","cautions_read":true})");
    EXPECT_EQ(taken.status, 409U);
    EXPECT_THAT(taken.body, HasSubstr("Lot H runs"));
    EXPECT_EQ(end_daemon(), 0) << daemon->err();
}

}  // namespace
}  // namespace padtrim
