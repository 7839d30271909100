#include "db/quality/names.hpp"

#include <set>
#include <string>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

// Every value has a word of its own.
template <class Enum>
void expect_words(int count) {
    std::set<std::string> words;
    for (int i = 0; i < count; ++i) words.insert(std::string(name_of(static_cast<Enum>(i))));
    EXPECT_EQ(words.size(), static_cast<std::size_t>(count));
    EXPECT_EQ(words.count(""), 0U);
}

TEST(NamesOfQuality, TellEveryAnswerFromTheOthers) {
    expect_words<ShareTest>(2);
    expect_words<Model>(3);
    expect_words<RunRule>(static_cast<int>(run_rule_count));
    expect_words<Drift>(4);
    expect_words<Whose>(4);
    expect_words<Severity>(4);
}

}  // namespace
}  // namespace padtrim::quality
