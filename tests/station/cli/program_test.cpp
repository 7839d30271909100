// The real program on the real bytes of a virtual bench: each in a process of its own.
#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>

#include <SQLiteCpp/SQLiteCpp.h>
#include <boost/asio/io_context.hpp>
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "station/web/http_client.hpp"
#include "tests/station/cli/spawned.hpp"
#include "tests/support/await.hpp"
#include "tests/support/pseudo_terminal.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim {
namespace {

using answers::Json;
using test_support::Spawned;
using namespace std::chrono_literals;

const std::string root = PADTRIM_SOURCE_DIR;
const std::string program = std::string(PADTRIM_BINARY_DIR) + "/padtrim";
const std::string recipe = root + "/recipes/examples/hob-panel-8.toml";
const std::string unit = root + "/fixtures/units/hob-panel-8.toml";
const std::string four_nests = root + "/fixtures/profiles/hob-line-4-nests.toml";

using Words = std::vector<std::string>;

class Program : public ::testing::Test {
  protected:
    support::TemporaryFolder folder;
    std::unique_ptr<Spawned> bench;
    const std::string ports = folder.file("ports");
    const std::string records = folder.file("lots.sqlite");

    void start_bench(const Words& more = {}, const std::string& units = "2") {
        Words words = {program,  "bench", "--fixture", four_nests,
                       "--unit", unit,    "--ports",   ports,
                       "--rate", "40",    "--units",   units,
                       "--seed", "11",    "--truth",   folder.file("truth.json")};
        words.insert(words.end(), more.begin(), more.end());
        bench = std::make_unique<Spawned>(words);
        ASSERT_TRUE(bench->until("bench ready")) << bench->err();
        ASSERT_EQ(run(decision_words("release", recipe)), 0) << complained;
    }
    Words decision_words(const std::string& what, const std::string& about,
                         const Words& more = {}) const {
        Words words = {program,     what,    about,   "--fixture", four_nests, "--unit", unit,
                       "--records", records, "--who", "M",         "--why",    "tests"};
        words.insert(words.end(), more.begin(), more.end());
        return words;
    }
    // The recipe with one text for another, as a file of its own.
    std::string changed_recipe(const std::string& before, const std::string& after) const {
        std::stringstream text;
        text << std::ifstream(recipe).rdbuf();
        std::string changed = text.str();
        changed.replace(changed.find(before), before.size(), after);
        std::ofstream(folder.file("changed.toml")) << changed;
        return folder.file("changed.toml");
    }
    Words run_words_of(const std::string& other_recipe, const std::string& lot,
                       const Words& more = {}) const {
        Words words = run_words(more);
        words[2] = other_recipe;
        words[12] = lot;
        return words;
    }
    Words run_words(const Words& more = {}) const {
        Words words = {program, "run",       recipe, "--fixture",  four_nests, "--unit",
                       unit,    "--ports",   ports,  "--records",  records,    "--lot",
                       "L1",    "--station", "test", "--operator", "T"};
        words.insert(words.end(), more.begin(), more.end());
        return words;
    }
    // The exit code; what was said stands in `said` and `complained`.
    int run(const Words& words) {
        Spawned child(words);
        const int code = child.wait();
        said = child.out();
        complained = child.err();
        return code;
    }
    // The report of `run --json`: the last line.
    Json report() const {
        std::istringstream lines(said);
        std::string line, last;
        while (std::getline(lines, line)) last = line;
        const auto json = answers::parse_json(last);
        if (!json || !json->is_object() || !json->as_object().contains("report")) return {};
        return json->at("report");
    }
    bool one_clear_message(const std::string& about) const {
        return complained.substr(0, 9) == "padtrim: " &&
               complained.find(about) != std::string::npos;
    }

    std::string said, complained;
};

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
    const std::string changed = changed_recipe("330 to 470", "449 to 450");
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
    EXPECT_EQ(run({program, "--help"}), 0);
}

// What a terminal would have shown: everything that came to the master end until the program ended.
std::string seen_on(const test::PseudoTerminal& terminal, Spawned& child) {
    std::string text;
    const auto take = [&](std::chrono::milliseconds patience) {
        const auto bytes = terminal.received(patience);
        text.append(bytes.begin(), bytes.end());
        return !bytes.empty();
    };
    while (text.find("\x1b[?1049l") == std::string::npos && take(20s)) {
    }
    while (take(2s) && text.find("--help") == std::string::npos) {
    }
    (void)child;
    return text;
}

TEST_F(Program, DrawsOnATerminalAndGivesItBack) {
    start_bench({"--defects", "none"}, "1");
    test::PseudoTerminal terminal;
    const int slave = open(terminal.path().c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    ASSERT_GE(slave, 0);
    ASSERT_EQ(setenv("TERM", "xterm-256color", 1), 0);
    ASSERT_EQ(setenv("NO_COLOR", "1", 1), 0);
    Spawned child(run_words({"--units", "1"}), slave);
    const std::string text = seen_on(terminal, child);
    unsetenv("NO_COLOR");
    EXPECT_EQ(child.wait(), 0) << child.err();
    close(slave);
    EXPECT_EQ(text.find("\x1b[?1049h"), 0u) << "the second page first";
    const auto back = text.find("\x1b[?25h\x1b[?1049l");
    ASSERT_NE(back, std::string::npos);
    EXPECT_NE(text.substr(0, back).find("Nest 1"), std::string::npos);
    EXPECT_NE(text.substr(0, back).find("HOB8-00001"), std::string::npos);
    EXPECT_NE(text.substr(back).find("Lot L1"), std::string::npos) << "the summary stays";
    EXPECT_EQ(text.find("38;"), std::string::npos) << "no colour was wanted";
}

std::string asking_recipe() {
    return "padtrim_recipe = 1\nname = \"look\"\nrevision = \"A\"\nproduct = \"Hob Panel 8\"\n"
           "[[step]]\ndo = \"identify\"\n[[step]]\ndo = \"ask the operator\"\n"
           "text = \"Is the label straight?\"\npicture = \"label.png\"\n";
}

TEST_F(Program, AsksNobodyWithoutATerminalUnlessTheRecipeSaysWhatThatMeans) {
    const std::string asking = folder.file("asking.toml");
    std::ofstream(asking) << asking_recipe();
    start_bench({"--defects", "none"}, "1");
    ASSERT_EQ(run(decision_words("release", asking)), 0) << complained;
    const Words words = run_words_of(asking, "L1", {"--units", "1"});
    EXPECT_EQ(run(words), 1) << complained;
    EXPECT_NE(said.find("no verdict"), std::string::npos) << said;
}

TEST_F(Program, TakesTheAnswerFromTheTerminal) {
    const std::string asking = folder.file("asking.toml");
    std::ofstream(asking) << asking_recipe();
    start_bench({"--defects", "none"}, "1");
    test::PseudoTerminal terminal;
    const int slave = open(terminal.path().c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    ASSERT_GE(slave, 0);
    ASSERT_EQ(run(decision_words("release", asking)), 0) << complained;
    const Words words = run_words_of(asking, "L1", {"--units", "1", "--plain"});
    Spawned child(words, slave);
    std::string text;
    while (text.find("yes or no?") == std::string::npos) {
        const auto bytes = terminal.received(20s);
        ASSERT_FALSE(bytes.empty()) << text;
        text.append(bytes.begin(), bytes.end());
    }
    const std::vector<std::uint8_t> yes{'y', 'e', 's', '\n'};
    terminal.send(yes);
    EXPECT_EQ(child.wait(), 0) << child.err();
    close(slave);
}

class DaemonProgram : public Program {
  protected:
    std::unique_ptr<Spawned> daemon;
    std::uint16_t port = 0;

    void start_daemon(const std::string& what = recipe) {
        daemon = std::make_unique<Spawned>(Words{program, "serve", what, "--fixture", four_nests,
                                                 "--unit", unit, "--ports", ports, "--records",
                                                 records, "--station", "test", "--listen", "0"});
        ASSERT_TRUE(daemon->until("listens on http://127.0.0.1:")) << daemon->err();
        ASSERT_TRUE(daemon->until("\n"));
        port = static_cast<std::uint16_t>(
            std::stoi(daemon->out().substr(daemon->out().rfind(':') + 1)));
    }
    web::Response call(const std::string& method, const std::string& target,
                       const std::string& body = "") {
        boost::asio::io_context context(1);
        auto answer = support::await(context, web::call(port, method, target, body, 10s));
        return answer ? answer.value() : web::Response{0, answer.error().what, ""};
    }
    int end_daemon() {
        daemon->signal(SIGTERM);
        return daemon->wait();
    }
};

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
