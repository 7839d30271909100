// The real program on the real bytes of a virtual bench.
#include <filesystem>

#include <SQLiteCpp/SQLiteCpp.h>

#include "tests/station/cli/program_fixture.hpp"
#include "tests/support/pseudo_terminal.hpp"

namespace padtrim {
namespace {

using namespace test_support;
using namespace std::chrono_literals;

// Of a plan that nobody released: a step alone is a draft.
TEST_F(Program, RunsOneStepAloneAndWritesNothing) {
    start_bench({"--defects", "none"});
    const std::string other = changed_recipe("revision = \"A\"", "revision = \"B\"");
    ASSERT_EQ(run(run_words_of(other, "S", {"--one-step", "noise", "--nest", "2", "--json"})), 0)
        << said << complained;
    const Json told = report();
    EXPECT_EQ(told.at("count").at("pass").to_number<int>(), 1);
    EXPECT_TRUE(told.at("measure_only").as_bool());
    const std::string serial(told.at("tape").at(0).at("serial").as_string());
    EXPECT_EQ(told.at("tape").at(0).at("nest").to_number<int>(), 2);
    ASSERT_EQ(run({program, "unit", serial, "--records", records, "--json"}), 0) << complained;
    const auto newest = answers::parse_json(said)->at("runs").at(0);
    EXPECT_EQ(newest.at("recipe").as_string(), "hob panel, complete, noise alone");
    EXPECT_EQ(newest.at("write_stage").as_string(), "untouched");
    EXPECT_EQ(run(run_words_of(other, "S", {"--one-step", "write trims"})), 2);
    EXPECT_TRUE(one_clear_message("writes to the unit")) << complained;
    EXPECT_EQ(run(run_words_of(other, "S", {"--one-step", "nois"})), 2);
    EXPECT_TRUE(one_clear_message("noise")) << complained;
    EXPECT_EQ(run(run_words_of(other, "S", {"--nest", "9"})), 2);
    EXPECT_TRUE(one_clear_message("no nest 9")) << complained;
}

TEST_F(Program, CalibratesALotAndAnswersForIt) {
    start_bench({"--defects", "none"});
    ASSERT_EQ(run(run_words({"--units", "2", "--json"})), 0) << said << complained;
    EXPECT_EQ(report().at("count").at("pass").to_number<int>(), 2);
    EXPECT_EQ(report().at("operator").as_string(), "T");
    const std::string serial(report().at("tape").at(0).at("serial").as_string());

    ASSERT_EQ(run({program, "unit", serial, "--records", records, "--json"}), 0) << complained;
    const auto history = answers::parse_json(said);
    EXPECT_EQ(history->at("runs").at(0).at("verdict").as_string(), "pass");
    EXPECT_EQ(history->at("runs").at(0).at("write_stage").as_string(), "verified");
    ASSERT_EQ(run({program, "unit", serial, "--records", records}), 0);
    EXPECT_NE(said.find("PASS, released"), std::string::npos) << said;

    ASSERT_EQ(run({program, "unit", serial, "--records", records, "--monte-carlo", "--trials",
                   "2000", "--channel", "2"}),
              0)
        << complained;
    for (const char* part : {"Channel 2", "gain = ", "scatter of readings", "%", "by Monte Carlo",
                             "Allan deviation", "Crosstalk"}) {
        EXPECT_NE(said.find(part), std::string::npos) << part << '\n' << said;
    }
    EXPECT_EQ(run({program, "unit", serial, "--records", records, "--details", "--channel", "99"}),
              2);

    ASSERT_EQ(run({program, "yield", "--records", records, "--json"}), 0) << complained;
    EXPECT_EQ(
        answers::parse_json(said)->at("yields").at(0).at("count").at("units").to_number<int>(), 2);
}

TEST_F(Program, GoesOnWithALotAndRunsNoPassedUnitTwice) {
    start_bench({"--defects", "none"});
    ASSERT_EQ(run(run_words({"--units", "1", "--json"})), 0) << said << complained;
    // --units is the lot's size: the unit of the first run is one of the two.
    ASSERT_EQ(run(run_words({"--units", "2", "--json"})), 0) << said << complained;
    EXPECT_EQ(report().at("count").at("loaded").to_number<int>(), 2);
    EXPECT_EQ(report().at("tape").as_array().size(), 2u);
}

TEST_F(Program, SetsAsideWhatPassedInAnotherLotAndABenchGoesOnWithItsMagazine) {
    const auto bench_with = [&](const std::string& first) {
        bench.reset();
        bench = std::make_unique<Spawned>(Words{
            program, "bench", "--fixture", four_nests, "--unit", unit, "--ports", ports, "--rate",
            "40", "--units", "2", "--seed", "11", "--defects", "none", "--first-unit", first});
        ASSERT_TRUE(bench->until("bench ready")) << bench->err();
    };
    const auto removed = [&] { return report().at("count").at("removed").to_number<int>(); };
    const auto first_serial = [&] { return report().at("tape").at(0).at("serial").as_string(); };
    start_bench({"--defects", "none"});
    ASSERT_EQ(run(run_words({"--units", "2", "--json"})), 0) << said << complained;
    bench_with("1");
    EXPECT_EQ(run(run_words_of(recipe, "L2", {"--json"})), 1) << complained;
    EXPECT_EQ(removed(), 2);
    EXPECT_NE(said.find("passed in lot L1 on "), std::string::npos) << said;
    bench_with("1");
    EXPECT_EQ(run(run_words_of(recipe, "L3", {"--again", "--json"})), 0) << said << complained;
    bench_with("next");
    EXPECT_EQ(run(run_words_of(recipe, "L4", {"--units", "1", "--json"})), 0) << said << complained;
    EXPECT_EQ(first_serial(), "HOB8-00003");
}

TEST_F(Program, SaysWhichUnitsDidNotPassAndWhy) {
    start_bench({"--defects", "1:dead_channel@3,2:thick_glue@6"}, "3");
    EXPECT_EQ(run(run_words({"--units", "3", "--plain"})), 1) << said << complained;
    EXPECT_NE(said.find("pass 1 + fail 2"), std::string::npos) << said;
    EXPECT_NE(said.find("> Set aside. Check the glue at key rear."), std::string::npos) << said;
    EXPECT_NE(said.find("What to try next"), std::string::npos) << said;
}

TEST_F(Program, TakesAUnitOfAnotherProductOut) {
    start_bench({"--defects", "1:other_product"});
    EXPECT_EQ(run(run_words({"--units", "2", "--json"})), 1) << said << complained;
    EXPECT_EQ(report().at("count").at("removed").to_number<int>(), 1);
    EXPECT_EQ(report().at("count").at("pass").to_number<int>(), 1);
    EXPECT_NE(report().at("set_aside").at(0).at("reason").as_string().find("product"),
              std::string::npos);
}

TEST_F(Program, WritesNothingWhenItOnlyMeasures) {
    start_bench({"--defects", "none"}, "2");
    ASSERT_EQ(run(run_words({"--units", "2", "--measure-only", "--json"})), 0)
        << said << complained;
    std::stringstream truth;
    truth << std::ifstream(folder.file("truth.json")).rdbuf();
    const auto json = answers::parse_json(truth.str());
    ASSERT_TRUE(json);
    for (const auto& one : json->at("units").as_array()) {
        EXPECT_EQ(one.at("trim_writes").to_number<int>(), 0);
        EXPECT_EQ(one.at("commits").to_number<int>(), 0);
    }
}

TEST_F(Program, CtrlCOnceLetsRunningUnitsEnd) {
    start_bench({"--defects", "none"}, "40");
    Spawned child(run_words({"--json"}));
    ASSERT_TRUE(child.until("\"unit finished\"")) << child.out() << child.err();
    child.signal(SIGINT);
    EXPECT_EQ(child.wait(), 0) << child.err();
    said = child.out();
    const auto count = report().at("count");
    EXPECT_EQ(count.at("pass").to_number<int>(), count.at("loaded").to_number<int>());
    EXPECT_LT(count.at("loaded").to_number<int>(), 40);
}

TEST_F(Program, CtrlCTwiceAbortsAndLeavesNoUnitUnstated) {
    start_bench({"--defects", "none"}, "40");
    Spawned child(run_words({"--json"}));
    ASSERT_TRUE(child.until("\"gain and offset\"")) << child.out() << child.err();
    child.signal(SIGINT);
    ASSERT_TRUE(child.until("no more units are loaded")) << child.out();
    child.signal(SIGINT);
    EXPECT_EQ(child.wait(), 1) << child.err();
    said = child.out();
    EXPECT_GT(report().at("count").at("no_verdict").to_number<int>(), 0) << said;
    const Json all = report();
    for (const auto& mark : all.at("tape").as_array()) {
        EXPECT_NE(mark.at("mark").as_string(), "running");
    }
}

TEST_F(Program, RunsNoPlanThatWasNotReleased) {
    start_bench({"--defects", "none"}, "6");
    const std::string changed = changed_recipe("at most 5 counts", "at most 8 counts");
    EXPECT_EQ(run(run_words_of(changed, "L2")), 2) << said;
    EXPECT_TRUE(one_clear_message("not released")) << complained;
    EXPECT_NE(complained.find("1 change"), std::string::npos) << complained;
    EXPECT_NE(complained.find("--draft"), std::string::npos) << complained;
    // The revision was released with other contents; a new revision may be.
    EXPECT_EQ(run(decision_words("release", changed)), 2);
    EXPECT_TRUE(one_clear_message("new revision")) << complained;
    EXPECT_EQ(run(decision_words("release", recipe)), 2);
    EXPECT_TRUE(one_clear_message("released already")) << complained;

    ASSERT_EQ(run(run_words_of(changed, "D1", {"--draft", "--units", "1", "--json"})), 0)
        << said << complained;
    EXPECT_EQ(report().at("permission").at("kind").as_string(), "draft");
    const std::string serial(report().at("tape").at(0).at("serial").as_string());
    ASSERT_EQ(run({program, "unit", serial, "--records", records}), 0);
    EXPECT_NE(said.find("DRAFT"), std::string::npos) << said;
    ASSERT_EQ(run({program, "yield", "--records", records, "--json"}), 0);
    EXPECT_EQ(said.find("\"D1\""), std::string::npos) << "no draft in production figures";
    EXPECT_EQ(run(run_words_of(recipe, "D1", {"--units", "2"})), 2) << "a draft's lot stays one";
    EXPECT_TRUE(one_clear_message("lots of their own")) << complained;
}

TEST_F(Program, APermitLetsSoManyUnitsThroughAndKeepsThem) {
    start_bench({"--defects", "none"}, "6");
    const std::string changed = changed_recipe("at most 5 counts", "at most 8 counts");
    ASSERT_EQ(run(decision_words("permit", changed, {"--name", "wider noise", "--quantity", "1"})),
              0)
        << complained;
    EXPECT_NE(said.find("was widened"), std::string::npos) << said;
    ASSERT_EQ(run(run_words_of(changed, "P1", {"--json"})), 0) << said << complained;
    EXPECT_EQ(report().at("count").at("pass").to_number<int>(), 1);
    EXPECT_EQ(report().at("permission").at("kind").as_string(), "permit");
    EXPECT_EQ(run(run_words_of(changed, "P2")), 2) << "the permit is used up";
    EXPECT_TRUE(one_clear_message("1 unit through")) << complained;
    ASSERT_EQ(run({program, "permit", "--records", records, "--json"}), 0);
    const auto permits = answers::parse_json(said);
    ASSERT_TRUE(permits);
    EXPECT_EQ(permits->at("permits").at(0).at("used").to_number<int>(), 1);
    EXPECT_EQ(permits->at("permits").at(0).at("runs").at(0).at("verdict").as_string(), "pass");
}

TEST_F(Program, SaysWhatChangedAndWhatThatWouldHaveCost) {
    start_bench({"--defects", "none"}, "2");
    ASSERT_EQ(run(run_words({"--units", "2", "--json"})), 0) << said << complained;
    const std::string changed = changed_recipe("330 to 470", "447 to 450");
    ASSERT_EQ(run({program, "changes", "A", changed, "--records", records}), 0) << complained;
    EXPECT_NE(said.find("the limit on gain was tightened"), std::string::npos) << said;
    ASSERT_EQ(run({program, "changes", recipe, changed, "--json"}), 0) << complained;
    EXPECT_EQ(answers::parse_json(said)->at("changes").as_array().size(), 1u);
    EXPECT_EQ(run({program, "changes", recipe, unit}), 2);
    ASSERT_EQ(run({program, "rejudge", "--records", records, "--json"}), 0) << complained;
    EXPECT_EQ(answers::parse_json(said)->at("same").to_number<int>(), 2);
    ASSERT_EQ(run({program, "rejudge", changed, "--records", records, "--json"}), 0) << complained;
    EXPECT_EQ(answers::parse_json(said)->at("now").at("final_pass").to_number<int>(), 0);
    ASSERT_EQ(run({program, "limits", "gain", "--records", records}), 0) << complained;
    EXPECT_EQ(run({program, "rejudge", "--records", records, "--since", "yesterday"}), 2);
    EXPECT_TRUE(one_clear_message("yesterday")) << complained;
    ASSERT_EQ(run({program, "release", "--withdraw", "1", "--records", records, "--who", "M",
                   "--why", "tests"}),
              0)
        << complained;
    EXPECT_EQ(run(run_words_of(recipe, "L9")), 2) << "withdrawn";
}

TEST_F(Program, WritesAFirmwareHeader) {
    ASSERT_EQ(run({program, "header", unit}), 0) << complained;
    EXPECT_NE(said.find("hob_panel_8_correct"), std::string::npos);
    EXPECT_EQ(said.substr(said.size() - 7), "#endif\n");
    EXPECT_EQ(run({program, "header", recipe}), 2);
}

TEST_F(Program, AMissingPortIsNamedAndNothingIsBegun) {
    std::filesystem::create_directory(ports);
    EXPECT_EQ(run(run_words()), 3);
    EXPECT_TRUE(one_clear_message(ports + "/relays")) << complained;
    EXPECT_FALSE(std::filesystem::exists(records));
    EXPECT_EQ(said, "");
}

TEST_F(Program, APortThatAnswersRubbishEndsTheLotAndNothingIsWritten) {
    start_bench({"--defects", "none"}, "2");
    test::PseudoTerminal rubbish;
    std::filesystem::remove(ports + "/relays");
    std::filesystem::create_symlink(rubbish.path(), ports + "/relays");
    Spawned child(run_words({"--plain"}));
    const std::vector<std::uint8_t> noise(64, 0xA5);
    while (rubbish.received(3s).size() > 0) rubbish.send(noise);
    EXPECT_EQ(child.wait(), 3) << child.out() << child.err();
    EXPECT_NE(child.err().find("relay"), std::string::npos) << child.err();
    EXPECT_NE(child.out().find("loaded 0"), std::string::npos) << child.out();
}

TEST_F(Program, ATypoInARecipeIsShownAtItsPlace) {
    std::stringstream text;
    text << std::ifstream(recipe).rdbuf();
    std::string wrong = text.str();
    wrong.replace(wrong.find("references = "), 10, "referenecs");
    std::ofstream(folder.file("typo.toml")) << wrong;
    auto words = run_words();
    words[2] = folder.file("typo.toml");
    EXPECT_EQ(run(words), 2);
    EXPECT_TRUE(one_clear_message("typo.toml:")) << complained;
    EXPECT_NE(complained.find("references"), std::string::npos) << complained;
    EXPECT_FALSE(std::filesystem::exists(records));
    EXPECT_EQ(run({program, "check", words[2], unit, four_nests}), 2);
    EXPECT_NE(said.find("typo.toml:"), std::string::npos) << said;
}

TEST_F(Program, RecordsThatCannotBeUsedEndItBeforeAnythingMoves) {
    start_bench({"--defects", "none"}, "2");
    auto with_records = [&](const std::string& file) {
        auto words = run_words();
        words[10] = file;
        return run(words);
    };
    EXPECT_EQ(with_records(folder.path().string()), 2);
    EXPECT_TRUE(one_clear_message(folder.path().string())) << complained;
    EXPECT_EQ(with_records(folder.file("no/such/folder.sqlite")), 2);
    EXPECT_TRUE(one_clear_message("folder.sqlite")) << complained;
    std::ofstream(folder.file("notes.txt")) << std::string(4096, 'x');
    EXPECT_EQ(with_records(folder.file("notes.txt")), 2);
    EXPECT_TRUE(one_clear_message("notes.txt")) << complained;
    EXPECT_EQ(said, "");
}

TEST_F(Program, RecordsOfANewerSchemaAreLeftAlone) {
    start_bench({"--defects", "none"}, "1");
    ASSERT_EQ(run(run_words({"--units", "1"})), 0) << complained;
    {
        SQLite::Database database(records, SQLite::OPEN_READWRITE);
        database.exec("INSERT INTO schema_version SELECT 9999, 'from the future'");
    }
    EXPECT_EQ(run(run_words()), 2);
    EXPECT_TRUE(one_clear_message("newer")) << complained;
    EXPECT_EQ(run({program, "yield", "--records", records}), 2);
    EXPECT_TRUE(one_clear_message("newer")) << complained;
}

TEST_F(Program, AnUnknownOrOddSerialIsSaidWithoutObeyingIt) {
    start_bench({"--defects", "none"}, "1");
    ASSERT_EQ(run(run_words({"--units", "1"})), 0) << complained;
    EXPECT_EQ(run({program, "unit", "A\x1b[2J\nB'; DROP TABLE run; --", "--records", records}), 2);
    EXPECT_EQ(complained.find('\x1b'), std::string::npos);
    EXPECT_TRUE(one_clear_message("A\\x1b[2J")) << complained;
    EXPECT_EQ(run({program, "yield", "--records", records}), 0) << "the table is still there";
}

TEST_F(Program, WordsThatMakeNoSenseEndWithTwo) {
    EXPECT_EQ(run({program, "dance"}), 2);
    EXPECT_EQ(run({program, "unit", "S", "--records", folder.file("none.sqlite")}), 2);
    EXPECT_TRUE(one_clear_message("none.sqlite")) << complained;
    EXPECT_EQ(run({program, "bench", "--fixture", unit, "--unit", four_nests, "--ports", ports}),
              2);
    EXPECT_TRUE(one_clear_message("exchanged")) << complained;
    EXPECT_EQ(run({program, "bench", "--fixture", four_nests, "--unit", unit, "--ports", ports,
                   "--first-unit", "25", "--defects", "3:dead_channel"}),
              2);
    EXPECT_TRUE(one_clear_message("the magazine has units 25 to 48")) << complained;
    EXPECT_EQ(run({program, "--help"}), 0);
}

}  // namespace
}  // namespace padtrim
