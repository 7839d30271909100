#include "db/statistics/variables_plan.hpp"

#include <cmath>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

// Montgomery, Introduction to Statistical Quality Control, plans by variables, read from a
// nomograph (from memory; one reads it to some
// 5 %): 1 % accepted with 95 %, 6 % with 10 %, deviation not known: n = 40, k
// = 1.9.
TEST(VariablesPlanForRisks, IsThatOfThePublishedNomograph) {
    const auto plan = *variables_plan_for({0.01, 0.05, 0.06, 0.10});
    EXPECT_NEAR(static_cast<double>(plan.sample), 40.0, 2.5);
    EXPECT_NEAR(plan.k, 1.9, 0.02);
}

TEST(VariablesPlanForRisks, KeepsBothAndIsTheSmallest) {
    for (const RiskPoints& risks :
         {RiskPoints{0.01, 0.05, 0.06, 0.10}, RiskPoints{0.001, 0.05, 0.05, 0.10},
          RiskPoints{0.02, 0.01, 0.04, 0.05}}) {
        const auto plan = *variables_plan_for(risks);
        EXPECT_NEAR(*acceptance(plan, risks.good), 1.0 - risks.producers_risk, 1e-9);
        EXPECT_LE(*acceptance(plan, risks.bad), risks.consumers_risk);
        // One value less, and whatever k: what the producer needs gives the consumer too much.
        double low = 0.0, high = 10.0;
        for (int i = 0; i < 60; ++i) {
            const double k = 0.5 * (low + high);
            const VariablesPlan less{plan.sample - 1, k};
            (*acceptance(less, risks.good) >= 1.0 - risks.producers_risk ? low : high) = k;
        }
        EXPECT_GT(*acceptance(VariablesPlan{plan.sample - 1, low}, risks.bad),
                  risks.consumers_risk);
        // More values under the same k are better for both.
        const VariablesPlan more{2 * plan.sample, plan.k};
        EXPECT_GT(*acceptance(more, risks.good), 1.0 - risks.producers_risk);
        EXPECT_LT(*acceptance(more, risks.bad), risks.consumers_risk);
    }
}

TEST(VariablesPlanForRisks, NamesEveryFlaw) {
    EXPECT_EQ(variables_plan_for({0.05, 0.05, 0.01, 0.1}).error(), Flaw::empty_interval);
    EXPECT_EQ(variables_plan_for({NAN, 0.05, 0.01, 0.1}).error(), Flaw::out_of_domain);
    EXPECT_EQ(variables_plan_for({0.01, 0.0, 0.05, 0.1}).error(), Flaw::out_of_domain);
    EXPECT_EQ(variables_plan_for({0.01, 0.05, 0.010001, 0.1}).error(), Flaw::no_convergence);
}

}  // namespace
}  // namespace padtrim::statistics
