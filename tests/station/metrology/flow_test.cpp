#include "station/metrology/flow.hpp"

#include <gtest/gtest.h>

namespace padtrim::metrology {
namespace {

using language::Was;
using record::Verdict;

language::Recipe two_steps(Was was) {
    language::Recipe recipe;
    recipe.steps.resize(2);
    recipe.steps[0].name = "first";
    recipe.steps[1].name = "second";
    recipe.steps[1].only_if = language::Condition{"first", was};
    return recipe;
}

TEST(StepFlow, AppliesAStepByHowTheNamedOneEnded) {
    constexpr Verdict verdicts[] = {Verdict::pass, Verdict::fail, Verdict::inconclusive,
                                    Verdict::no_verdict};
    struct Row {
        Was was;
        bool holds[4];
    };
    for (const auto& row :
         {Row{Was::pass, {true, false, false, false}}, Row{Was::fail, {false, true, false, false}},
          Row{Was::inconclusive, {false, false, true, false}},
          Row{Was::not_pass, {false, true, true, true}}})
        for (std::size_t i = 0; i < 4; ++i)
            EXPECT_EQ(applies(two_steps(row.was), {verdicts[i]}), row.holds[i])
                << static_cast<int>(row.was) << ' ' << i;
}

TEST(StepFlow, AppliesAStepWithoutACondition) {
    EXPECT_TRUE(applies(two_steps(Was::pass), {}));
}

TEST(StepFlow, DoesNotApplyAfterAStepThatDidNotRun) {
    EXPECT_FALSE(applies(two_steps(Was::pass), {std::nullopt}));
    EXPECT_FALSE(applies(two_steps(Was::not_pass), {std::nullopt}));
}

TEST(StepFlow, EndsBehindTheLastStep) {
    EXPECT_FALSE(applies(two_steps(Was::pass), {Verdict::pass, Verdict::pass}));
}

}  // namespace
}  // namespace padtrim::metrology
