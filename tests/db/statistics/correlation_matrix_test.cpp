#include "db/statistics/correlation_matrix.hpp"

#include <vector>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

// Three quantities with one correlation r between any two: eigenvalues 1 + 2 r and 1 - r twice, so
// that r is at least -1/2 (by algebra).
TEST(CorrelationMatrix, IsPossibleDownToAHalfAmongThree) {
    for (const double r : {-0.5, 0.0, 0.9, 1.0}) {
        const std::vector<PairCorrelation> pairs{{0, 1, r}, {0, 2, r}, {1, 2, r}};
        EXPECT_TRUE(are_possible(3, pairs)) << r;
    }
    const std::vector<PairCorrelation> pairs{{0, 1, -0.51}, {0, 2, -0.51}, {1, 2, -0.51}};
    EXPECT_FALSE(are_possible(3, pairs));
}

TEST(CorrelationMatrix, IsNotPossibleWhereTwoThatAreLikeAThirdAreOpposites) {
    const std::vector<PairCorrelation> pairs{{0, 1, 1.0}, {0, 2, 1.0}, {1, 2, -1.0}};
    EXPECT_FALSE(are_possible(3, pairs));
    EXPECT_TRUE(are_possible(0, {}));
}

}  // namespace
}  // namespace padtrim::statistics
