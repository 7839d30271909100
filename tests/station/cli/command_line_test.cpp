#include "station/cli/command_line.hpp"

#include <gtest/gtest.h>

namespace padtrim::cli {
namespace {

Command read(std::vector<const char*> words) {
    words.insert(words.begin(), "padtrim");
    return read_command_line(static_cast<int>(words.size()), words.data());
}

const Words& words_of(const Command& command) {
    return std::get<Words>(command);
}

TEST(CommandLine, ReadsARun) {
    const auto command = read(
        {"run",     "r.toml",    "--fixture",      "f.toml",     "--unit", "u.toml",    "--ports",
         "dir",     "--records", "x.sqlite",       "--lot",      "L",      "--station", "S",
         "--units", "24",        "--measure-only", "--operator", "me",     "--json"});
    const auto& run = std::get<RunCommand>(command);
    EXPECT_EQ(run.of.recipe, "r.toml");
    EXPECT_EQ(run.of.fixture, "f.toml");
    EXPECT_EQ(run.of.unit, "u.toml");
    EXPECT_EQ(run.of.ports, "dir");
    EXPECT_EQ(run.of.records, "x.sqlite");
    EXPECT_EQ(run.of.station, "S");
    EXPECT_EQ(run.lot, "L");
    EXPECT_EQ(run.units, 24u);
    EXPECT_TRUE(run.measure_only && run.json);
    EXPECT_FALSE(run.again);
    EXPECT_EQ(run.operator_name, "me");
}

TEST(CommandLine, ReadsServeBenchAndTheQuestions) {
    EXPECT_EQ(std::get<ServeCommand>(read({"serve", "r", "--fixture", "f", "--unit", "u",
                                           "--records", "x", "--listen", "0"}))
                  .listen,
              0);
    const auto bench = std::get<BenchCommand>(
        read({"bench", "--fixture", "f", "--unit", "u", "--ports", "p", "--seed", "7", "--rate",
              "10", "--truth", "t", "--defects", "3:dead_channel,4:thick_glue@2", "--for", "2.5"}));
    EXPECT_EQ(bench.seed, 7u);
    EXPECT_EQ(bench.defects, "3:dead_channel,4:thick_glue@2");
    EXPECT_DOUBLE_EQ(bench.seconds, 2.5);
    EXPECT_EQ(std::get<CheckCommand>(read({"check", "a", "b"})).files.size(), 2u);
    EXPECT_EQ(std::get<UnitCommand>(read({"unit", "S 1", "--records", "x"})).serial, "S 1");
    const auto full = std::get<UnitCommand>(read(
        {"unit", "S", "--records", "x", "--monte-carlo", "--trials", "2000", "--channel", "3"}));
    EXPECT_TRUE(full.monte_carlo);
    EXPECT_EQ(full.trials, 2000u);
    EXPECT_EQ(full.channel, 3);
    EXPECT_EQ(std::get<YieldCommand>(read({"yield", "--records", "x", "--by", "recipe"})).by,
              "recipe");
}

TEST(CommandLine, TellsMistakesWithExitCodeTwo) {
    for (const auto& wrong : std::vector<std::vector<const char*>>{
             {},
             {"dance"},
             {"unit", "S", "--records", "x", "--monte-carlo", "--trials", "10"},
             {"run"},
             {"run", "r", "--fixture", "f", "--unit", "u", "--records", "x"},
             {"run", "r", "--fixture", "f", "--unit", "u", "--records", "x", "--lot", "L",
              "--units", "none"},
             {"run", "r", "--fixture", "f", "--unit", "u", "--records", "x", "--lot", "L", "--unts",
              "3"},
             {"bench", "--fixture", "f", "--unit", "u", "--ports", "p", "--first-unit", "0"},
             {"bench", "--fixture", "f", "--unit", "u", "--ports", "p", "--first-unit", "last"},
             {"yield", "--records", "x", "--by", "moon"},
             {"yield", "--records", "x", "--compare", "one"},
             {"yield", "--records", "x", "--json", "--csv"},
             {"chart", "--records", "x", "--rules", "moon"},
             {"chart", "--records", "x", "--lambda", "nan"},
             {"capability", "--records", "x", "--check", "gain", "--low", "nan"},
             {"capability", "--records", "x", "--check", "gain", "--high", "inf"},
             {"gauge", "--records", "x", "--type-1", "--reference", "-inf"},
             {"drift", "--records", "x", "--risk", "nan"},
             {"sampling", "--records", "x", "--judge-lot", "L"},
             {"sampling", "--records", "x", "--judge-lot", "L", "--check", "gain", "--k", "nan"},
             {"sampling", "--records", "x", "--judge-lot", "L", "--check", "gain", "--k", "2",
              "--good", "1"},
             {"gauge", "--records", "x", "--agreement", "one"},
             {"gauge", "--records", "x", "--agreement", "a", "b", "--type-1"},
             {"gauge", "--records", "x", "--alike-within", "1"},
             {"gauge", "--records", "x", "--bias", "--check", "gain"},
             {"gauge", "--records", "x", "--bias", "--references", "f"},
             {"gauge", "--records", "x", "--reference", "1"},
             {"export", "everything", "--records", "x"},
             {"report", "--records", "x"},
             {"rollups", "--records", "x"},
             {"bench", "--fixture", "f", "--unit", "u", "--ports", "p", "--rate", "0"},
             {"check"}}) {
        const auto command = read(wrong);
        ASSERT_TRUE(std::holds_alternative<Words>(command));
        EXPECT_EQ(words_of(command).exit_code, bad_input);
        EXPECT_FALSE(words_of(command).text.empty());
    }
}

TEST(CommandLine, SaysInOneSentenceThatALimitHasToBeANumber) {
    const auto text =
        words_of(read({"capability", "--records", "x", "--check", "gain", "--low", "nan"})).text;
    EXPECT_NE(text.find("--low: has to be a finite number, not nan"), std::string::npos) << text;
}

TEST(CommandLine, QualityQuestionsShareTheirOptions) {
    for (const char* command : {"yield", "capability", "chart", "drift", "gauge", "trace"}) {
        const auto read_one = read({command,      "--records",  "x",      "--since",  "2026-03-01",
                                    "--until",    "2026-03-31", "--lot",  "L",        "--station",
                                    "S",          "--product",  "P",      "--recipe", "R",
                                    "--revision", "B",          "--nest", "2",        "--csv"});
        EXPECT_FALSE(std::holds_alternative<Words>(read_one)) << words_of(read_one).text;
    }
    const auto chart =
        std::get<ChartCommand>(read({"chart", "--records", "x", "--check", "gain", "--key", "timer",
                                     "--kind", "sums", "--rules", "beyond-limits,two-of-three"}));
    EXPECT_EQ(chart.rules, (std::vector<std::string>{"beyond-limits", "two-of-three"}));
    EXPECT_EQ(chart.of.key, "timer");
    EXPECT_TRUE(chart.anew) << "a kind was named";
    EXPECT_FALSE(std::get<ChartCommand>(read({"chart", "--records", "x"})).anew);
    EXPECT_EQ(words_of(read({"chart", "--records", "x", "--who", "qa"})).exit_code, bad_input)
        << "nothing is signed for without --freeze";
    EXPECT_EQ(std::get<AlarmsCommand>(read({"alarms", "--records", "x", "--reply", "3", "--who",
                                            "qa", "--why", "seen"}))
                  .reply,
              3);
    EXPECT_EQ(std::get<SamplingCommand>(
                  read({"sampling", "--records", "x", "--lot", "L", "--size", "500"}))
                  .size,
              500u);
    EXPECT_EQ(words_of(read({"sampling", "--records", "x", "--size", "500"})).exit_code, bad_input);
    const auto shifts = std::get<StoreCommand>(
        read({"shifts", "05:00", "13:00", "--records", "x", "--station", "S"}));
    EXPECT_EQ(shifts.act, StoreAct::shifts);
    EXPECT_EQ(shifts.begins.size(), 2u);
    EXPECT_EQ(std::get<StoreCommand>(read({"rollups", "rebuild", "--records", "x"})).act,
              StoreAct::rebuild_rollups);
}

TEST(CommandLine, HelpTeachesByExampleAndNamesTheExitCodes) {
    for (const char* command :
         {"run",     "serve",    "bench",   "check",          "unit",     "yield",   "header",
          "rejudge", "limits",   "release", "permit",         "changes",  "lot",     "capability",
          "chart",   "drift",    "gauge",   "trace",          "in-doubt", "export",  "report",
          "alarms",  "sampling", "shifts",  "verify-records", "backup",   "restore", "retire",
          "downtime"}) {
        const auto help = read({command, "--help"});
        EXPECT_EQ(words_of(help).exit_code, done);
        const std::string& text = words_of(help).text;
        EXPECT_NE(text.find(std::string("  padtrim ") + command), std::string::npos) << text;
        EXPECT_NE(text.find("Exit codes: 0 done, 1"), std::string::npos) << text;
    }
    EXPECT_NE(words_of(read({"--help"})).text.find("A first look"), std::string::npos);
}

TEST(CommandLine, CommandsThatMoveSomethingSayTheCautions) {
    for (const char* command : {"run", "serve"}) {
        EXPECT_NE(words_of(read({command, "--help"})).text.find("never the safety function"),
                  std::string::npos);
    }
    EXPECT_EQ(words_of(read({"bench", "--help"})).text.find("never the safety function"),
              std::string::npos);
}

TEST(CommandLine, KnowsItsVersion) {
    EXPECT_EQ(words_of(read({"--version"})).exit_code, done);
    EXPECT_EQ(words_of(read({"--version"})).text.substr(0, 8), "padtrim ");
}

}  // namespace
}  // namespace padtrim::cli
