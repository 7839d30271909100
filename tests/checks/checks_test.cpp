#include <fstream>
#include <sstream>

#include <gtest/gtest.h>

#include "tests/checks/published.hpp"

namespace padtrim::checks {
namespace {

TEST(PublishedChecks, AgreeToTheDigitsThatAreAimedAt) {
    const auto checks = all_checks();
    EXPECT_GE(checks.size(), 100U);
    for (const Check& check : checks) {
        EXPECT_GE(digits_agreeing(check.published, check.ours), check.aim)
            << check.what << " (" << check.source << "): published " << check.published << ", ours "
            << check.ours;
    }
}

TEST(PublishedChecks, StandInTheDocsAsTheyAre) {
    std::ifstream in(std::string(PADTRIM_SOURCE_DIR) + "/docs/checks.md");
    std::ostringstream page;
    page << in.rdbuf();
    EXPECT_EQ(page.str(), checks_page())
        << "docs/checks.md is stale: run `checks_table > docs/checks.md`.";
}

TEST(PublishedChecks, CountDigitsOnBothSidesOfZero) {
    EXPECT_NEAR(digits_agreeing(1.0, 1.001), 3.0, 1e-9);
    EXPECT_NEAR(digits_agreeing(0.0, 1e-5), 5.0, 1e-9);
    EXPECT_EQ(digits_agreeing(2.0, 2.0), 15.0);
    EXPECT_EQ(digits_agreeing(2.0, -2.0), 0.0);
}

}  // namespace
}  // namespace padtrim::checks
