#include "recipes/document/nearest.hpp"

#include <gtest/gtest.h>

namespace padtrim::document {
namespace {

TEST(EditsBetween, CountsInsertDeleteReplaceAndExchange) {
    EXPECT_EQ(edits_between("", ""), 0U);
    EXPECT_EQ(edits_between("", "abc"), 3U);
    EXPECT_EQ(edits_between("abc", ""), 3U);
    // kitten to sitting is the usual worked example of edit distance: 3 (from memory).
    EXPECT_EQ(edits_between("kitten", "sitting"), 3U);
    EXPECT_EQ(edits_between("scans", "scnas"), 1U);
    EXPECT_EQ(edits_between("reference", "referense"), 1U);
    // Optimal string alignment edits no part twice: "ca" to "abc" costs 3, not 2 (from memory).
    EXPECT_EQ(edits_between("ca", "abc"), 3U);
}

TEST(EditsBetween, IsTheSameBothWays) {
    EXPECT_EQ(edits_between("limits", "limit"), edits_between("limit", "limits"));
    EXPECT_EQ(edits_between("overlay", "key"), edits_between("key", "overlay"));
}

constexpr std::string_view keys[] = {"reference", "scans", "limits", "on_failure", "x", "y"};

TEST(NearestWord, FindsATypingError) {
    EXPECT_EQ(nearest_word("referense", keys), "reference");
    EXPECT_EQ(nearest_word("scnas", keys), "scans");
    EXPECT_EQ(nearest_word("limit", keys), "limits");
}

TEST(NearestWord, LooksPastCapitalsAndDashes) {
    EXPECT_EQ(nearest_word("On-Failure", keys), "on_failure");
    EXPECT_EQ(nearest_word("onfailure", keys), "on_failure");
    EXPECT_EQ(nearest_word("X", keys), "x");
}

TEST(NearestWord, FindsNothingFarAway) {
    EXPECT_EQ(nearest_word("colour", keys), std::nullopt);
    EXPECT_EQ(nearest_word("", keys), std::nullopt);
    EXPECT_EQ(nearest_word("q", keys), std::nullopt);
    EXPECT_EQ(nearest_word(std::string(5000, 'r'), keys), std::nullopt);
}

TEST(NearestWord, TakesTheFirstOfEquals) {
    constexpr std::string_view equals[] = {"gain_a", "gain_b"};
    EXPECT_EQ(nearest_word("gain_c", equals), "gain_a");
}

TEST(Suggestion, ListsWhatIsKnownWhenNothingIsNear) {
    EXPECT_EQ(suggestion("scnas", keys), "Did you mean \"scans\"?");
    EXPECT_EQ(suggestion("colour", keys),
              "Known here: reference, scans, limits, on_failure, x, y.");
    EXPECT_EQ(suggestion("colour", {}), "Leave it out.");
}

}  // namespace
}  // namespace padtrim::document
