#include "db/quality/memory_charts.hpp"

#include <cmath>
#include <functional>
#include <random>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using statistics::CusumPlan;
using statistics::EwmaPlan;
using statistics::Flaw;

// Mean number of points until an alarm, over simulated charts.
double simulated_length(double shift, int charts, const std::function<bool(double, bool)>& alarm) {
    std::mt19937_64 source(31);
    std::normal_distribution<double> normal(shift, 1.0);
    double points = 0.0;
    for (int i = 0; i < charts; ++i) {
        bool fresh = true;
        for (bool signalled = false; !signalled; fresh = false, points += 1.0)
            signalled = alarm(normal(source), fresh);
    }
    return points / charts;
}

// The chart that is run takes as long as the theory says: 4000 charts, 5 % is about 3 sigma.
TEST(CusumChart, SignalsAfterItsTheoreticalRunLength) {
    for (const CusumPlan& plan : {CusumPlan{0.5, 4.0, 0.0}, CusumPlan{0.5, 4.0, 2.0}}) {
        for (const double shift : {0.0, 1.0, -2.0}) {
            auto chart = *CusumChart::of({0.0, 1.0}, plan);
            const double length = simulated_length(shift, 4000, [&](double x, bool fresh) {
                if (fresh) chart = *CusumChart::of({0.0, 1.0}, plan);
                return chart.add(x)->alarm();
            });
            EXPECT_NEAR(length / *statistics::cusum_run_length(plan, shift), 1.0, 0.05) << shift;
        }
    }
}

// Limits that open with t signal a little sooner than the constant ones of the theory.
TEST(EwmaChart, SignalsAboutAfterItsTheoreticalRunLength) {
    const EwmaPlan plan{0.2, 2.962};
    auto chart = *EwmaChart::of({0.0, 1.0}, plan);
    const double length = simulated_length(0.0, 2000, [&](double x, bool fresh) {
        if (fresh) chart = *EwmaChart::of({0.0, 1.0}, plan);
        return chart.add(x)->alarm();
    });
    EXPECT_NEAR(length / *statistics::ewma_run_length(plan, 0.0), 0.99, 0.08);
}

TEST(CusumChart, TellsWhenTheShiftBegan) {
    auto chart = *CusumChart::of({10.0, 2.0}, {0.5, 5.0, 0.0});
    for (const double x : {10.0, 9.0, 11.0, 8.0}) (void)*chart.add(x);
    CusumPoint point;
    for (int i = 0; i < 3; ++i) point = *chart.add(15.0);
    EXPECT_TRUE(point.above());
    EXPECT_FALSE(point.below());
    EXPECT_EQ(point.upper_run, 3U);
}

TEST(MemoryCharts, ScaleWithTheirProcess) {
    auto one = *CusumChart::of({0.0, 1.0}, {}), other = *CusumChart::of({5.0, 0.1}, {});
    auto mean = *EwmaChart::of({0.0, 1.0}, {}), moved = *EwmaChart::of({5.0, 0.1}, {});
    for (const double z : {0.3, -1.2, 2.0, 0.9}) {
        EXPECT_NEAR(one.add(z)->upper, other.add(5.0 + 0.1 * z)->upper, 1e-12);
        EXPECT_NEAR(5.0 + 0.1 * mean.add(z)->value, moved.add(5.0 + 0.1 * z)->value, 1e-12);
    }
}

TEST(MemoryCharts, RefuseWhatIsNoNumberAndStayAsTheyWere) {
    auto cusum = *CusumChart::of({0.0, 1.0}, {}), same = cusum;
    auto ewma = *EwmaChart::of({0.0, 1.0}, {}), unchanged = ewma;
    for (const double bad : {NAN, INFINITY, -INFINITY}) {
        EXPECT_EQ(cusum.add(bad).error(), Flaw::not_finite);
        EXPECT_EQ(ewma.add(bad).error(), Flaw::not_finite);
        EXPECT_EQ(CusumChart::of({bad, 1.0}, {}).error(), Flaw::not_finite);
        EXPECT_EQ(EwmaChart::of({0.0, bad}, {}).error(), Flaw::not_finite);
    }
    EXPECT_EQ(cusum.add(2.0)->upper, same.add(2.0)->upper);
    EXPECT_EQ(ewma.add(2.0)->value, unchanged.add(2.0)->value);
    EXPECT_EQ(CusumChart::of({0.0, 0.0}, {}).error(), Flaw::not_positive);
    EXPECT_EQ(CusumChart::of({0.0, 1.0}, {0.5, 0.0, 0.0}).error(), Flaw::out_of_domain);
    EXPECT_EQ(EwmaChart::of({0.0, 1.0}, {0.0, 3.0}).error(), Flaw::out_of_domain);
    EXPECT_EQ(EwmaChart::of({0.0, 1.0}, {0.1, NAN}).error(), Flaw::out_of_domain);
}

TEST(RunLength, FallsWithTheShiftAndNamesItsFlaws) {
    double last = INFINITY;
    for (const double shift : {0.0, 0.5, 1.0, 2.0, 4.0}) {
        const double now = *statistics::cusum_run_length({}, shift);
        EXPECT_LT(now, last);
        EXPECT_NEAR(now, *statistics::cusum_run_length({}, -shift), 1e-9 * now);
        last = now;
    }
    EXPECT_EQ(statistics::cusum_run_length({}, NAN).error(), Flaw::not_finite);
    EXPECT_EQ(statistics::cusum_run_length({0.5, -1.0, 0.0}, 0.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(statistics::ewma_run_length({0.1, NAN}, 0.0).error(), Flaw::not_finite);
    EXPECT_EQ(statistics::ewma_run_length({1.5, 3.0}, 0.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(statistics::shewhart_run_length(0.0, 0.0).error(), Flaw::out_of_domain);
    // An EWMA that weighs only the newest value is a Shewhart chart.
    EXPECT_NEAR(*statistics::ewma_run_length({1.0, 3.0}, 1.0),
                *statistics::shewhart_run_length(3.0, 1.0), 1e-8);
}

}  // namespace
}  // namespace padtrim::quality
