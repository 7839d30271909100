// The program on the shipped hob line with one nest, beside a virtual bench of it, each in a
// process of its own.
#pragma once

#include <fstream>
#include <memory>
#include <sstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "tests/station/cli/spawned.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::test_support {

class LineProgram : public ::testing::Test {
  protected:
    using Words = std::vector<std::string>;

    static std::string whole_file(const std::string& path) {
        std::stringstream text;
        text << std::ifstream(path).rdbuf();
        return text.str();
    }
    // The profile from now on: the shipped one with one text for another.
    void profile_with(const std::string& before, const std::string& after) {
        std::string changed = whole_file(profile);
        changed.replace(changed.find(before), before.size(), after);
        profile = folder.file("line.toml");
        std::ofstream(profile) << changed;
    }
    void start_bench(const Words& more = {}) {
        bench.reset();
        Words words{program,  "bench", "--fixture", profile, "--unit", unit, "--ports", ports,
                    "--rate", "60",    "--units",   "4",     "--seed", "5",  "--truth", truth};
        words.insert(words.end(), more.begin(), more.end());
        bench = std::make_unique<Spawned>(words);
        ASSERT_TRUE(bench->until("bench ready")) << bench->err();
    }
    // The exit code; what was said stands in `said` and `complained`.
    int run(Words words) {
        words.insert(words.begin(), program);
        Spawned child(words);
        const int code = child.wait();
        said = child.out();
        complained = child.err();
        return code;
    }
    int run_with_documents(const std::string& what, const Words& more) {
        Words words{what, recipe, "--fixture", profile, "--unit", unit, "--records", records};
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
    int run_lot(const std::string& lot, const Words& more = {}) {
        Words words{"--ports", ports, "--lot", lot};
        words.insert(words.end(), more.begin(), more.end());
        return run_with_documents("run", words);
    }

    const std::string sources = PADTRIM_SOURCE_DIR "/";
    const std::string recipe = sources + "recipes/examples/hob-panel-8.toml";
    const std::string unit = sources + "fixtures/units/hob-panel-8.toml";
    const std::string program = PADTRIM_BINARY_DIR "/padtrim";
    support::TemporaryFolder folder;
    const std::string ports = folder.file("ports"), records = folder.file("lots.sqlite"),
                      truth = folder.file("truth.json");
    std::string profile = sources + "fixtures/profiles/hob-line-1-nest.toml";
    std::unique_ptr<Spawned> bench;
    std::string said, complained;
};

}  // namespace padtrim::test_support
