#include "station/answers/lone_value.hpp"

#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

std::vector<ControlPoint> points(const std::vector<double>& values) {
    std::vector<ControlPoint> all;
    for (const double value : values) {
        ControlPoint point;
        point.label = "U" + std::to_string(all.size() + 1);
        point.value = value;
        all.push_back(point);
    }
    return all;
}

ControlAnswer charted(const std::vector<double>& values) {
    ControlAnswer answer;
    answer.places.resize(1);
    answer.places[0].lines = {{"value", 0.0, points(values)}};
    return answer;
}

const std::vector<double> with_one_out{1, 2, 1, 2, 1, 41, 1, 2, 1, 2};  // ranges: 7 of 1, 40, 40

TEST(LoneValue, IsTheOneThatMakesMostMovingRanges) {
    const auto lone = lone_value(points(with_one_out));
    ASSERT_TRUE(lone);
    EXPECT_EQ(lone->label, "U6");
    EXPECT_NEAR(lone->share, 80.0 / 87.0, 1e-12);
}

TEST(LoneValue, IsNoneInOrdinaryScatterNorAtAStep) {
    // NIST/SEMATECH e-Handbook 6.3.2.2: a process in control.
    EXPECT_FALSE(lone_value(points({49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1})));
    EXPECT_FALSE(lone_value(points({1, 2, 1, 2, 1, 41, 42, 41, 42, 41})));
    EXPECT_FALSE(lone_value(points({1, 1, 9, 1}))) << "too few to tell";
    EXPECT_FALSE(lone_value(points(std::vector<double>(10, 1.0))));
}

TEST(LoneValue, IsSaidWhereLimitsComeFromAllValues) {
    auto answer = charted(with_one_out);
    EXPECT_EQ(lone_value_words(answer, answer.places[0]),
              "U6 alone makes 92 % of the ranges that the limits are from: too wide");
    answer.baseline = 5;
    EXPECT_EQ(lone_value_words(answer, answer.places[0]), "");
    answer.baseline = 0;
    answer.places[0].frozen.emplace();
    EXPECT_EQ(lone_value_words(answer, answer.places[0]), "");
}

}  // namespace
}  // namespace padtrim::answers
