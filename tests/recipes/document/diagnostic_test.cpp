#include "recipes/document/diagnostic.hpp"

#include <gtest/gtest.h>

namespace padtrim::document {
namespace {

TEST(Diagnostic, PrintsThePlaceTheLineACaretAndTheMend) {
    const Diagnostic problem{"a.toml", 3, 5, "what is wrong", "Do this.", "x = 1 2"};
    EXPECT_EQ(text_of(problem),
              "a.toml:3:5: what is wrong\n"
              "    x = 1 2\n"
              "        ^\n"
              "  Do this.\n");
}

TEST(Diagnostic, KeepsTabsBeforeTheCaret) {
    const Diagnostic problem{"a.toml", 1, 3, "m", "n", "\t x"};
    EXPECT_EQ(text_of(problem), "a.toml:1:3: m\n    \t x\n    \t ^\n  n\n");
}

TEST(Diagnostic, CountsCharactersAndNotBytes) {
    const Diagnostic problem{"a.toml", 1, 3, "m", "n", "\u00b5\u03a9x"};
    EXPECT_EQ(text_of(problem), "a.toml:1:3: m\n    \u00b5\u03a9x\n      ^\n  n\n");
}

TEST(Diagnostic, PutsTheCaretBehindTheLineWhenTheColumnIs) {
    const Diagnostic problem{"a.toml", 1, 9, "m", "n", "ab"};
    EXPECT_EQ(text_of(problem), "a.toml:1:9: m\n    ab\n      ^\n  n\n");
}

TEST(Diagnostic, OfAWholeFileHasNoLine) {
    const Diagnostic problem{"a.toml", 1, 1, "m", "n", ""};
    EXPECT_EQ(text_of(problem), "a.toml:1:1: m\n  n\n");
}

TEST(Diagnostics, StandApartByAnEmptyLine) {
    const Diagnostic problem{"a", 1, 1, "m", "n", ""};
    EXPECT_EQ(text_of(std::vector{problem, problem}), "a:1:1: m\n  n\n\na:1:1: m\n  n\n");
    EXPECT_EQ(text_of(std::vector<Diagnostic>{}), "");
}

}  // namespace
}  // namespace padtrim::document
