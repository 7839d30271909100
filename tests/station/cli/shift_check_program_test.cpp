// `padtrim shift-check` and what `padtrim run` makes of it, on the real bytes of a virtual bench,
// each in a process of its own.
#include <csignal>

#include <boost/asio/io_context.hpp>
#include <boost/json/object.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "station/web/http_client.hpp"
#include "tests/station/cli/line_program.hpp"
#include "tests/support/await.hpp"

namespace padtrim {
namespace {

using ::testing::HasSubstr;

class ShiftCheckProgram : public test_support::LineProgram {
  protected:
    void start_watched_bench(Words more = {}) {
        more.insert(more.end(), {"--standards", "--defects", "none"});
        start_bench(more);
    }
    int check(const Words& more = {}) {
        Words words{"--ports", ports, "--operator", "O"};
        words.insert(words.end(), more.begin(), more.end());
        return run_with_documents("shift-check", words);
    }
    int produce(const std::string& lot, Words more = {}) {
        more.insert(more.end(), {"--units", "1"});
        return run_lot(lot, more);
    }
    void release() {
        ASSERT_EQ(run_with_documents("release", {"--who", "M", "--why", "tests"}), 0) << complained;
    }
    void exchange_units() { bench->signal(SIGRTMIN + 2); }
};

TEST_F(ShiftCheckProgram, DecidesWhetherTheStationProduces) {
    profile_with("baseline = 5", "baseline = 3");
    start_watched_bench();
    release();
    EXPECT_EQ(produce("L1"), 3);
    EXPECT_THAT(complained, HasSubstr("does not produce (needs check)"));
    EXPECT_THAT(complained, HasSubstr("There is no good shift check yet."));
    for (int i = 0; i < 3; ++i) ASSERT_EQ(check(), 0) << said << complained;
    EXPECT_THAT(said, HasSubstr("measurement 3 of 3"));
    ASSERT_EQ(check({"--json"}), 0) << said << complained;
    const std::string last = said.substr(said.rfind("{\"shift_check\""));
    const auto json = answers::parse_json(last.substr(0, last.find('\n')));
    ASSERT_TRUE(json);
    EXPECT_EQ(json->at("decision"), "ready");
    EXPECT_EQ(json->at("units").as_array().size(), 3U);

    exchange_units();
    EXPECT_EQ(produce("L1"), 0) << said << complained;
    EXPECT_THAT(said, HasSubstr("The last good shift check is"));

    start_watched_bench({"--fault", "step_drift@1.2=2"});
    ASSERT_EQ(check(), 1) << said << complained;
    EXPECT_THAT(said, HasSubstr("BLOCKED"));
    EXPECT_THAT(said, HasSubstr("gain at key timer, channel 2"));
    EXPECT_EQ(produce("L2"), 3);
    EXPECT_THAT(complained, HasSubstr("blocks the station"));
    EXPECT_EQ(run({"shift-check", "--records", records}), 0);
    EXPECT_THAT(said, HasSubstr("blocked"));

    exchange_units();
    EXPECT_LE(produce("trial", {"--draft"}), 1) << complained;
    EXPECT_THAT(said, HasSubstr("DRAFT"));

    EXPECT_EQ(run({"shift-check", "--new-charts", "--fixture", profile, "--records", records,
                   "--operator", "M", "--why", "references replaced"}),
              0)
        << complained;
    EXPECT_THAT(said, HasSubstr("learn anew"));
}

TEST_F(ShiftCheckProgram, DecidesNothingWhenUnitsDoNotCome) {
    profile_with("baseline = 5", "baseline = 3");
    start_watched_bench();
    exchange_units();
    EXPECT_EQ(check(), 3);
    EXPECT_THAT(complained, HasSubstr("Not measured in nest 1: HOB8-S0001"));
    EXPECT_EQ(run({"shift-check", "--records", records}), 0);
    EXPECT_THAT(said, HasSubstr("No shift check yet"));
}

TEST_F(ShiftCheckProgram, KeepsADaemonFromProducingToo) {
    start_watched_bench();
    release();
    test_support::Spawned daemon({program, "serve", recipe, "--fixture", profile, "--unit", unit,
                                  "--ports", ports, "--records", records, "--listen", "0"});
    ASSERT_TRUE(daemon.until("listens on")) << daemon.err();
    EXPECT_THAT(daemon.err(), HasSubstr("There is no good shift check yet."));
    EXPECT_EQ(produce("L1"), 3);
    EXPECT_THAT(complained, HasSubstr("does not produce (needs check)"));
}

TEST_F(ShiftCheckProgram, IsDoneByADaemonOverHttp) {
    start_watched_bench();
    release();
    test_support::Spawned daemon({program, "serve", recipe, "--fixture", profile, "--unit", unit,
                                  "--ports", ports, "--records", records, "--listen", "0"});
    ASSERT_TRUE(daemon.until("listens on http://127.0.0.1:")) << daemon.err();
    ASSERT_TRUE(daemon.until("\n"));
    const auto port =
        static_cast<std::uint16_t>(std::stoi(daemon.out().substr(daemon.out().rfind(':') + 1)));
    const auto call = [&](const std::string& method, const std::string& target,
                          const std::string& body = "") {
        boost::asio::io_context context(1);
        auto answer = support::await(
            context, web::call(port, method, target, body, std::chrono::seconds(10)));
        return answer ? answer.value() : web::Response{0, answer.error().what, ""};
    };
    const auto state = [&] {
        const auto status = answers::parse_json(call("GET", "/api/status").body);
        return status ? std::string(status->at("state").as_string()) : std::string();
    };
    EXPECT_EQ(call("GET", "/api/shift-check").status, 404U);
    EXPECT_EQ(state(), "needs check");
    EXPECT_EQ(call("POST", "/api/lot/start", R"({"lot":"L1"})").status, 409U);
    ASSERT_EQ(call("POST", "/api/shift-check/start", R"({"operator":"O"})").status, 202U);
    EXPECT_EQ(call("POST", "/api/shift-check/start", R"({"operator":"O"})").status, 409U);
    for (int i = 0; i < 100'000 && state() == "running"; ++i) {
    }
    const auto told = call("GET", "/api/shift-check");
    ASSERT_EQ(told.status, 200U) << call("GET", "/api/status").body;
    const auto check = answers::parse_json(told.body);
    ASSERT_TRUE(check);
    EXPECT_EQ(check->at("decision"), "ready") << told.body;
    EXPECT_EQ(check->at("units").as_array().size(), 3U);
    EXPECT_EQ(state(), "ready");
    exchange_units();
    EXPECT_EQ(produce("L1"), 0) << said << complained;  // the daemon takes it
    // Without its units a check decides nothing, and nothing of it is kept.
    ASSERT_EQ(call("POST", "/api/shift-check/start", R"({"operator":"O"})").status, 202U);
    for (int i = 0; i < 100'000 && state() == "running"; ++i) {
    }
    EXPECT_THAT(call("GET", "/api/status").body, HasSubstr("decides nothing. Not measured"));
    EXPECT_EQ(call("GET", "/api/shift-check").body, told.body);
    daemon.signal(SIGTERM);
    EXPECT_EQ(daemon.wait(), 0) << daemon.err();
}

TEST_F(ShiftCheckProgram, RefusesProductionOnReferencesThatAreDue) {
    profile_with("recalibration_due = 2036-09-14", "recalibration_due = 2026-09-15");
    start_watched_bench();
    release();
    EXPECT_EQ(produce("L1"), 3);
    EXPECT_THAT(complained, HasSubstr("were due for recalibration on 2026-09-15"));
}

TEST_F(ShiftCheckProgram, AsksForAProfileThatNamesCheckStandards) {
    EXPECT_EQ(run({"shift-check", recipe, "--fixture",
                   sources + "fixtures/profiles/hob-bench-1-nest.toml", "--unit", unit, "--records",
                   records}),
              2);
    EXPECT_THAT(complained, HasSubstr("names no check standards"));
}

}  // namespace
}  // namespace padtrim
