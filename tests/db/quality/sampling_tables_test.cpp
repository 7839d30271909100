// ISO 2859-1, tables 1, 2-A and 2-B, from memory; operating characteristics by the binomial
// distribution, computed here by themselves.
#include "db/quality/sampling_tables.hpp"

#include <cmath>
#include <map>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using statistics::Flaw;

char letter_of(std::uint64_t lot, const char* level) {
    return *code_letter(lot, *inspection_level_of(level));
}

// As the standard's own examples have it (from memory): a lot of 1000 at level II is letter J.
TEST(SamplingTables, GiveLettersByLotSizeAndLevel) {
    EXPECT_EQ(letter_of(1000, "II"), 'J');
    EXPECT_EQ(letter_of(1000, "I"), 'G');
    EXPECT_EQ(letter_of(1000, "III"), 'K');
    EXPECT_EQ(letter_of(1000, "S-4"), 'F');
    EXPECT_EQ(letter_of(2, "II"), 'A');
    EXPECT_EQ(letter_of(8, "II"), 'A');
    EXPECT_EQ(letter_of(9, "II"), 'B');
    EXPECT_EQ(letter_of(600'000, "III"), 'R');
    EXPECT_EQ(code_letter(1, InspectionLevel::two).error(), Flaw::out_of_domain);
    EXPECT_FALSE(inspection_level_of("IV"));
}

// Letters never fall as lots grow, nor as the level rises.
TEST(SamplingTables, AskForNoLessOfMore) {
    char before = 'A';
    for (std::uint64_t lot = 2; lot < 1'000'000; lot += 1 + lot / 7)
        for (int level = 0; level < 7; ++level) {
            const char letter = *code_letter(lot, static_cast<InspectionLevel>(level));
            if (level > 0) {
                EXPECT_GE(letter, before) << lot;
            }
            before = letter;
        }
}

TEST(SamplingTables, GivePlansAsTheStandardDoes) {
    const auto plan = [](char letter, double limit, Severity severity) {
        return master_plan(letter, limit, severity)->plan;
    };
    using Plan = statistics::AttributesPlan;
    EXPECT_EQ(plan('J', 1.0, Severity::normal), (Plan{80, 2}));
    EXPECT_EQ(plan('J', 1.0, Severity::tightened), (Plan{80, 1}));
    EXPECT_EQ(plan('K', 1.0, Severity::normal), (Plan{125, 3}));
    EXPECT_EQ(plan('L', 1.0, Severity::normal), (Plan{200, 5}));
    EXPECT_EQ(plan('L', 1.0, Severity::tightened), (Plan{200, 3}));
    EXPECT_EQ(plan('H', 0.65, Severity::normal), (Plan{80, 1})) << "by an arrow down";
    EXPECT_EQ(plan('H', 0.40, Severity::normal), (Plan{32, 0})) << "by an arrow up";
    EXPECT_EQ(plan('A', 0.010, Severity::normal), (Plan{1250, 0})) << "a long way down";
    EXPECT_EQ(plan('J', 1.0, Severity::reduced), plan('J', 1.0, Severity::normal));
    EXPECT_EQ(master_plan('J', 1.1, Severity::normal).error(), Flaw::out_of_domain);
    EXPECT_EQ(master_plan('I', 1.0, Severity::normal).error(), Flaw::out_of_domain);
    EXPECT_EQ(master_plan('J', 1.0, Severity::stopped).error(), Flaw::out_of_domain);
    EXPECT_EQ(master_plan('J', NAN, Severity::normal).error(), Flaw::out_of_domain);
}

double binomial_acceptance(const statistics::AttributesPlan& plan, double p) {
    const auto n = static_cast<double>(plan.sample);
    double sum = 0.0;
    for (std::uint64_t accept = 0; accept <= plan.accept; ++accept) {
        const auto k = static_cast<double>(accept);
        sum += std::exp(std::lgamma(n + 1.0) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1.0) +
                        k * std::log(p) + (n - k) * std::log1p(-p));
    }
    return sum;
}

// Of every cell of both tables: 95 % acceptance where the binomial has it; at the AQL itself a
// normal plan accepts 85 % and more, and a tightened one of the same letter less than the normal.
TEST(SamplingTables, HaveTheOperatingCharacteristicsOfTheBinomial) {
    std::map<std::pair<char, double>, double> normal;
    for (const Severity severity : {Severity::normal, Severity::tightened})
        for (const char letter : std::string("ABCDEFGHJKLMNPQR"))
            for (const double limit : acceptance_quality_limits()) {
                const auto found = master_plan(letter, limit, severity);
                if (!found) continue;
                const auto& plan = found->plan;
                const double p95 = *statistics::share_accepted(plan, 0.95);
                EXPECT_NEAR(binomial_acceptance(plan, p95), 0.95, 1e-9) << letter << " " << limit;
                const double at_limit = binomial_acceptance(plan, limit / 100.0);
                if (severity == Severity::normal) {
                    EXPECT_GE(at_limit, 0.85) << letter << " " << limit;
                    normal[{letter, limit}] = at_limit;
                } else if (normal.count({letter, limit}) > 0) {
                    EXPECT_LT(at_limit, (normal[{letter, limit}])) << letter << " " << limit;
                }
            }
    EXPECT_GT(normal.size(), 200u);
}

// Published for letter J (table 10-J-1, from memory): 95 % at 1.03 % with 2 of 80, 1.73 % with 3;
// 10 % at 6.52 % with 2 of 80.
TEST(SamplingTables, MeetThePrintedPointsOfLetterJ) {
    EXPECT_NEAR(*statistics::share_accepted({80, 2}, 0.95), 0.0103, 0.00005);
    EXPECT_NEAR(*statistics::share_accepted({80, 3}, 0.95), 0.0173, 0.00005);
    EXPECT_NEAR(*statistics::share_accepted({80, 2}, 0.10), 0.0652, 0.00005);
}

TEST(SamplingTables, ChooseEveryUnitAsOften) {
    EXPECT_EQ(units_to_look_at(5, 9, 1), (std::vector<std::uint64_t>{1, 2, 3, 4, 5}));
    EXPECT_TRUE(units_to_look_at(0, 3, 1).empty());
    EXPECT_EQ(units_to_look_at(500, 50, 7), units_to_look_at(500, 50, 7));
    EXPECT_NE(units_to_look_at(500, 50, 7), units_to_look_at(500, 50, 8));
    std::vector<int> times(11, 0);
    for (std::uint64_t seed = 0; seed < 20'000; ++seed) {
        const auto chosen = units_to_look_at(10, 3, seed);
        ASSERT_EQ(chosen.size(), 3u);
        for (const auto unit : chosen) ++times[unit];
    }
    // 6000 times each; five standard deviations of counting are 325.
    for (int unit = 1; unit <= 10; ++unit) EXPECT_NEAR(times[unit], 6000, 325) << unit;
}

}  // namespace
}  // namespace padtrim::quality
