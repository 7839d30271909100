#include "station/cli/progress.hpp"

#include <gtest/gtest.h>

#include "station/answers/json.hpp"

namespace padtrim::cli {
namespace {

using namespace std::chrono_literals;

TEST(PlainProgress, SaysAStepOnceForEachKeyAndNest) {
    std::vector<std::string> lines;
    const auto progress = plain_progress([&](const std::string& line) { lines.push_back(line); });
    for (std::uint32_t done = 0; done < 5; ++done) {
        progress->show(engine::StepProgress{1, "A", "touch", "4", done, 5, 1s});
        progress->show(engine::StepProgress{2, "B", "touch", "4", done, 5, 1s});
    }
    progress->show(engine::StepProgress{1, "A", "touch", "5", 0, 5, 1s});
    ASSERT_EQ(lines.size(), 3u);
    EXPECT_EQ(lines[0], "nest 1  A  touch, key 4  0 of 5  1 s left");
}

TEST(PlainProgress, SaysEverythingElseAlways) {
    std::vector<std::string> lines;
    const auto progress = plain_progress([&](const std::string& line) { lines.push_back(line); });
    progress->show(engine::LotOpened{"L", {}});
    progress->show(engine::LotOpened{"L", {}});
    progress->remark("two\nlines");
    progress->stopping();
    ASSERT_EQ(lines.size(), 4u);
    EXPECT_EQ(lines[2], "two\\x0alines");
    EXPECT_FALSE(progress->draws());
}

TEST(JsonProgress, WritesOneObjectALine) {
    std::vector<std::string> lines;
    const auto progress = json_progress([&](const std::string& line) { lines.push_back(line); });
    progress->show(engine::UnitIdentified{1, "A\nB"});
    progress->remark("hello");
    ASSERT_EQ(lines.size(), 2u);
    for (const auto& line : lines) {
        EXPECT_EQ(line.find('\n'), std::string::npos);
        EXPECT_TRUE(answers::parse_json(line)) << line;
    }
    EXPECT_TRUE(answers::event_from_json(*answers::parse_json(lines[0])));
}

}  // namespace
}  // namespace padtrim::cli
