// The real program on a terminal: what it draws, whom it asks.
#include <cstdlib>

#include <fcntl.h>
#include <unistd.h>

#include "tests/station/cli/program_fixture.hpp"
#include "tests/support/pseudo_terminal.hpp"

namespace padtrim {
namespace {

using namespace test_support;
using namespace std::chrono_literals;

class TerminalProgram : public Program {};

// What a terminal would have shown: everything that came to the master end until the program ended.
std::string seen_on(const test::PseudoTerminal& terminal) {
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
    return text;
}

TEST_F(TerminalProgram, DrawsOnATerminalAndGivesItBack) {
    start_bench({"--defects", "none"}, "1");
    test::PseudoTerminal terminal;
    const int slave = open(terminal.path().c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    ASSERT_GE(slave, 0);
    ASSERT_EQ(setenv("TERM", "xterm-256color", 1), 0);
    ASSERT_EQ(setenv("NO_COLOR", "1", 1), 0);
    Spawned child(run_words({"--units", "1"}), slave);
    const std::string text = seen_on(terminal);
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

TEST_F(TerminalProgram, AsksNobodyWithoutATerminalUnlessTheRecipeSaysWhatThatMeans) {
    const std::string asking = folder.file("asking.toml");
    std::ofstream(asking) << asking_recipe();
    start_bench({"--defects", "none"}, "1");
    ASSERT_EQ(run(decision_words("release", asking)), 0) << complained;
    const Words words = run_words_of(asking, "L1", {"--units", "1"});
    EXPECT_EQ(run(words), 1) << complained;
    EXPECT_NE(said.find("no verdict"), std::string::npos) << said;
}

TEST_F(TerminalProgram, TakesTheAnswerFromTheTerminal) {
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

}  // namespace
}  // namespace padtrim
