// The real program beside a virtual bench, each in a process of its own, in a folder of its own.
#pragma once

#include <chrono>
#include <fstream>
#include <memory>
#include <sstream>
#include <string>
#include <vector>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"
#include "tests/station/cli/spawned.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::test_support {

using answers::Json;
using namespace std::chrono_literals;

inline const std::string root = PADTRIM_SOURCE_DIR;
inline const std::string program = std::string(PADTRIM_BINARY_DIR) + "/padtrim";
inline const std::string recipe = root + "/recipes/examples/hob-panel-8.toml";
inline const std::string unit = root + "/fixtures/units/hob-panel-8.toml";
inline const std::string four_nests = root + "/fixtures/profiles/hob-line-4-nests.toml";

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

// A recipe that asks the person.
inline std::string asking_recipe() {
    return "padtrim_recipe = 1\nname = \"look\"\nrevision = \"A\"\nproduct = \"Hob Panel 8\"\n"
           "[[step]]\ndo = \"identify\"\n[[step]]\ndo = \"ask the operator\"\n"
           "text = \"Is the label straight?\"\npicture = \"label.png\"\n";
}

}  // namespace padtrim::test_support
