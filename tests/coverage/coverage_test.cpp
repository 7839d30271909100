// A smaller run always, the whole one of docs/coverage.md with PADTRIM_LONG=1 (tests/run --long).
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string_view>

#include <gtest/gtest.h>

#include "tests/coverage/trials.hpp"

namespace padtrim::coverage {
namespace {

bool long_run() {
    const char* wish = std::getenv("PADTRIM_LONG");
    return wish && std::string_view(wish) == "1";
}

void expect_all_hold(const std::vector<Table>& tables) {
    for (const Table& table : tables) {
        EXPECT_FALSE(table.shares.empty()) << table.title;
        for (const Share& share : table.shares) {
            EXPECT_TRUE(share.holds())
                << table.title << ", " << share.what << ": " << share.realised << ", allowed "
                << share.low << " to " << share.high;
        }
    }
}

TEST(StatedProbabilities, OfIntervalsAreRealised) {
    expect_all_hold(interval_tables(2000));
}

TEST(StatedProbabilities, OfFalseAcceptanceAreNotExceeded) {
    expect_all_hold({acceptance_table(2000)});
}

TEST(StatedProbabilities, OfStoppingEarlyAreNotExceeded) {
    expect_all_hold(stopping_tables(4000));
    expect_all_hold({look_table(0.0, 2000), look_table(0.5, 2000)});
}

TEST(CoveragePage, StandsInTheDocsAsItIsAndHolds) {
    std::ifstream in(std::string(PADTRIM_SOURCE_DIR) + "/docs/coverage.md");
    std::ostringstream page;
    page << in.rdbuf();
    EXPECT_EQ(page.str().find("missed"), std::string::npos);
    if (!long_run()) {
        EXPECT_NE(page.str().find("over 100000 simulated units"), std::string::npos);
        return;
    }
    EXPECT_EQ(page.str(), coverage_page(100000))
        << "docs/coverage.md is stale: run `coverage_table > docs/coverage.md`.";
}

}  // namespace
}  // namespace padtrim::coverage
