// Questions in an address have the names and ranges of the command line (docs/commands.md).
#include "station/web/question.hpp"

#include <gtest/gtest.h>

namespace padtrim::web {
namespace {

TEST(Question, TakesTheFiltersOfTheCommandLine) {
    Question question(
        "since=2026-03-01&until=2026-03-31T08%3A15&lot=L%20%2F1&station=S&product=P&recipe=R"
        "&revision=B&fixture=F&check=gain&key=timer&step=s&channel=3&frequency=0&nest=2"
        "&measure-only=yes&drafts=1");
    const auto words = question.words();
    EXPECT_EQ(question.wrong(), "");
    EXPECT_EQ(words.since, "2026-03-01");
    EXPECT_EQ(words.until, "2026-03-31T08:15");
    EXPECT_EQ(words.lot, "L /1");
    EXPECT_EQ(words.recipe_revision, "B");
    EXPECT_EQ(words.key, "timer");
    EXPECT_EQ(words.channel, 3);
    EXPECT_EQ(words.frequency, 0);
    EXPECT_EQ(words.nest, 2);
    EXPECT_TRUE(words.measure_only);
    EXPECT_TRUE(words.drafts);
}

TEST(Question, TakesEmptyFieldsAsNotSaid) {
    Question question("lot=&nest=&drafts=no");
    const auto words = question.words();
    EXPECT_EQ(words.lot, std::nullopt);
    EXPECT_EQ(words.nest, std::nullopt);
    EXPECT_FALSE(words.drafts);
    EXPECT_EQ(question.wrong(), "");
}

TEST(Question, RefusesANameThatNobodyAskedFor) {
    Question question("lot=L&lott=M");
    (void)question.words();
    EXPECT_EQ(question.wrong(), "There is no 'lott' in this call.");
}

TEST(Question, RefusesWhatIsNotInItsRange) {
    for (const char* query : {"nest=-1", "nest=two", "nest=70000", "nest=1.5", "channel=+1"}) {
        Question question(query);
        (void)question.words();
        EXPECT_NE(question.wrong(), "") << query;
    }
    for (const char* query : {"risk=0", "risk=0.6", "risk=nan", "risk=1e-7", "risk=0,1"}) {
        Question question(query);
        EXPECT_EQ(question.number("risk", answers::drift_risk), std::nullopt) << query;
        EXPECT_EQ(question.wrong(), "'risk' has to be a number from 0.000001 to 0.5.") << query;
    }
    Question good("risk=0.05");
    EXPECT_EQ(good.number("risk", answers::drift_risk), 0.05);
    EXPECT_EQ(good.wrong(), "");
}

TEST(Question, KeepsTheFirstThingThatIsWrong) {
    Question question("kind=pie&size=1");
    EXPECT_EQ(question.one_of("kind", {"individuals", "sums"}), "individuals");
    EXPECT_EQ(question.count("size", answers::subgroup_size), std::nullopt);
    EXPECT_EQ(question.wrong(), "'kind' has to be one of individuals, sums.");
}

TEST(Question, TakesNoMemberTwiceAndNoBrokenEncoding) {
    EXPECT_EQ(Question("lot=A&lot=B").wrong(), "'lot' is said twice.");
    EXPECT_EQ(Question("lot=%4").wrong(), "The address is not properly encoded.");
}

TEST(Question, TellsWhatIsSaidAndLeavesItToBeTaken) {
    Question question("width=3&kind=&lot=L");
    EXPECT_TRUE(question.says({"lambda", "width"}));
    EXPECT_FALSE(question.says({"kind", "lambda"})) << "an empty field of a form says nothing";
    EXPECT_EQ(question.number("width", answers::limit_width), 3.0);
    EXPECT_FALSE(question.says({"width"}));
}

TEST(Question, TakesSeveralNamesOfAList) {
    Question question("rules=beyond-limits,two-of-three");
    EXPECT_EQ(question.some_of("rules", {"beyond-limits", "two-of-three", "x"}),
              (std::vector<std::string>{"beyond-limits", "two-of-three"}));
    EXPECT_EQ(question.wrong(), "");
    Question wrong("rules=beyond-limits,sideways");
    (void)wrong.some_of("rules", {"beyond-limits"});
    EXPECT_EQ(wrong.wrong(), "'rules' has to be of beyond-limits.");
}

}  // namespace
}  // namespace padtrim::web
