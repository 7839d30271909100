// The real program as the daemon of a station, on the real bytes of a virtual bench.
#include <csignal>

#include "tests/station/cli/daemon_fixture.hpp"

namespace padtrim {
namespace {

using namespace test_support;
using namespace std::chrono_literals;

TEST_F(DaemonProgram, AsksInItsStatusAndTakesTheAnswerOverHttp) {
    const std::string asking = folder.file("asking.toml");
    std::ofstream(asking) << asking_recipe();
    start_bench({"--defects", "none"}, "1");
    ASSERT_EQ(run(decision_words("release", asking)), 0) << complained;
    start_daemon(asking);
    ASSERT_EQ(call("POST", "/api/lot/start", R"({"lot":"L1","units":1})").status, 202U);
    EXPECT_EQ(call("POST", "/api/nest/4/answer", R"({"answer":"no"})").status, 409U);
    std::uint16_t asks = 0;
    for (int i = 0; i < 20'000 && asks == 0; ++i) {
        const auto status = answers::parse_json(call("GET", "/api/status").body);
        ASSERT_TRUE(status);
        for (const Json& nest : status->at("nests").as_array()) {
            if (nest.at("question").as_string() != "Is the label straight?") continue;
            EXPECT_EQ(nest.at("picture").as_string(), "label.png");
            asks = nest.at("nest").to_number<std::uint16_t>();
        }
    }
    ASSERT_NE(asks, 0) << "no nest asked";
    const std::string target = "/api/nest/" + std::to_string(asks) + "/answer";
    EXPECT_EQ(call("POST", target, R"({"answer":"no"})").status, 202U);
    ASSERT_EQ(end_daemon(), 0) << daemon->err();
    EXPECT_EQ(run({program, "yield", "--records", records, "--json"}), 0);
    EXPECT_NE(said.find("\"rejected_first\":1"), std::string::npos) << said;
}

TEST_F(DaemonProgram, RunHandsItsLotToTheDaemonAndFollows) {
    start_bench({"--defects", "2:dead_channel@3"});
    start_daemon();
    EXPECT_EQ(run(run_words({"--units", "2", "--json"})), 1) << said << complained;
    EXPECT_EQ(report().at("count").at("pass").to_number<int>(), 1);
    EXPECT_NE(said.find("\"unit finished\""), std::string::npos);
    const auto status = answers::parse_json(call("GET", "/api/status").body);
    EXPECT_EQ(status->at("lot").as_string(), "L1");
    EXPECT_EQ(status->at("count").at("fail").to_number<int>(), 1);
    EXPECT_EQ(end_daemon(), 0);
    EXPECT_FALSE(std::filesystem::exists(records + ".daemon"));
}

TEST_F(DaemonProgram, StartsAndStopsALotOverHttp) {
    start_bench({"--defects", "none"}, "40");
    start_daemon();
    EXPECT_EQ(call("POST", "/api/lot/start", "{\"lot\":\"H\",\"operator\":\"T\"}").status, 202u);
    EXPECT_EQ(call("POST", "/api/lot/start", "{\"lot\":\"I\"}").status, 409u);
    EXPECT_EQ(call("POST", "/api/lot/stop").status, 202u);
    EXPECT_EQ(end_daemon(), 0) << daemon->err();
    ASSERT_EQ(run({program, "yield", "--records", records, "--lot", "H", "--json"}), 0);
}

TEST_F(DaemonProgram, RunsOneStepAloneInOneNest) {
    start_bench({"--defects", "none"}, "4");
    start_daemon();
    EXPECT_EQ(call("POST", "/api/lot/start", R"({"lot":"S","step":"write trims"})").status, 400U);
    EXPECT_EQ(call("POST", "/api/lot/start", R"({"lot":"S","step":"noise","nest":9})").status,
              400U);
    const auto asked =
        call("POST", "/api/lot/start", R"({"lot":"S","step":"noise","nest":3,"units":1})");
    EXPECT_EQ(asked.status, 202U) << asked.body;
    Json status;
    for (int i = 0; i < 20'000; ++i) {
        status = answers::parse_json(call("GET", "/api/status").body).value();
        if (status.at("state").as_string() != "running") break;
    }
    ASSERT_EQ(status.at("tape").as_array().size(), 1U);
    EXPECT_EQ(status.at("tape").at(0).at("nest").to_number<int>(), 3);
    EXPECT_EQ(end_daemon(), 0) << daemon->err();
    ASSERT_EQ(run({program, "lot", "S", "--records", records, "--json"}), 0) << complained;
    EXPECT_NE(said.find("\"measure_only\":true"), std::string::npos) << said;
    ASSERT_EQ(run({program, "export", "checks", "--records", records, "--lot", "S", "--drafts",
                   "--measure-only"}),
              0)
        << complained;
    EXPECT_NE(said.find(",noise,"), std::string::npos) << said;
    EXPECT_EQ(said.find(",gain,"), std::string::npos) << said;
}

TEST_F(DaemonProgram, AForeignStationNameIsNotMixedIn) {
    start_bench({"--defects", "none"}, "1");
    start_daemon();
    auto words = run_words();
    words[14] = "another";
    EXPECT_EQ(run(words), 2);
    EXPECT_TRUE(one_clear_message("daemon of station test")) << complained;
    EXPECT_EQ(end_daemon(), 0);
}

TEST_F(DaemonProgram, TheRecordsHaveOneWriter) {
    start_bench({"--defects", "none"}, "1");
    start_daemon();
    Spawned second({program, "serve", recipe, "--fixture", four_nests, "--unit", unit, "--ports",
                    ports, "--records", records, "--listen", "0"});
    EXPECT_EQ(second.wait(), 3);
    EXPECT_NE(second.err().find("Another daemon"), std::string::npos) << second.err();
    EXPECT_EQ(end_daemon(), 0);
}

TEST_F(DaemonProgram, AMissingPortIsAnsweredAndTheDaemonLivesOn) {
    std::filesystem::create_directory(ports);
    start_daemon();
    const auto refused = call("POST", "/api/lot/start", "{\"lot\":\"H\"}");
    EXPECT_EQ(refused.status, 409u);
    EXPECT_NE(refused.body.find("relays"), std::string::npos) << refused.body;
    EXPECT_EQ(call("GET", "/api/health").status, 200u);
    EXPECT_EQ(end_daemon(), 0);
}

}  // namespace
}  // namespace padtrim
