#include "station/metrology/nearest_checks.hpp"

#include <gtest/gtest.h>

namespace padtrim::metrology {
namespace {

using record::CheckResult;
using record::Verdict;

CheckResult at(const std::string& key, double margin, Verdict verdict = Verdict::pass) {
    CheckResult check;
    check.key = key;
    check.margin = margin;
    check.verdict = verdict;
    check.expanded_uncertainty = 1.0;
    return check;
}
CheckResult condition(const std::string& key, Verdict verdict) {
    CheckResult check = at(key, 0.0, verdict);
    check.expanded_uncertainty = 0.0;
    return check;
}
std::vector<double> margins(const std::vector<CheckResult>& checks) {
    std::vector<double> margins;
    for (const auto& check : nearest_checks(checks)) margins.push_back(check.margin);
    return margins;
}

TEST(NearestChecks, AreOneAKeyInTheOrderOfTheKeys) {
    EXPECT_EQ(margins({at("2", 3.0), at("1", 2.0), at("2", 1.5), at("1", 4.0)}),
              (std::vector{1.5, 2.0}));
}

TEST(NearestChecks, PutAWorseVerdictBeforeASmallerMargin) {
    const std::vector worse_last{at("1", 0.1), at("1", 0.9, Verdict::inconclusive),
                                 at("1", 2.0, Verdict::no_verdict), at("1", 5.0, Verdict::fail)};
    for (std::size_t some = 1; some <= worse_last.size(); ++some) {
        const std::vector first(worse_last.begin(),
                                worse_last.begin() + static_cast<std::ptrdiff_t>(some));
        EXPECT_EQ(margins(first), std::vector{first.back().margin});
        EXPECT_EQ(margins({first.rbegin(), first.rend()}), std::vector{first.back().margin});
    }
}

TEST(NearestChecks, LeaveOutConditionsThatHoldAndChecksOfNoKey) {
    EXPECT_TRUE(nearest_checks({condition("1", Verdict::pass), at("", -2.0)}).empty());
    EXPECT_EQ(nearest_checks({condition("1", Verdict::fail)}).size(), 1U);
    EXPECT_EQ(margins({condition("1", Verdict::fail), at("1", -7.0, Verdict::fail)}),
              std::vector{-7.0});
}

TEST(ChecksAtKey, AreThoseOfThatKeyAlone) {
    const auto found = checks_at_key({at("1", 1.0), at("2", 2.0), at("1", 3.0)}, "1");
    ASSERT_EQ(found.size(), 2U);
    EXPECT_DOUBLE_EQ(found[1].margin, 3.0);
}

}  // namespace
}  // namespace padtrim::metrology
