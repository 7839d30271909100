// Surfaces found in curves whose surface is known. From first principles, no source.
#include "station/metrology/surface.hpp"

#include <cmath>

#include <gtest/gtest.h>

namespace padtrim::metrology {
namespace {

// A parallel plate above its surface, flat below: 900 / (1 + gap) counts.
std::vector<CurvePoint> curve(double surface, double standard = 0.5, double step = 0.1) {
    std::vector<CurvePoint> points;
    for (int i = 0; i <= 20; ++i) {
        const double height = step * i;
        const double gap = std::max(0.0, height - surface);
        points.push_back({Millimetre(height), 900.0 / (1.0 + gap), standard});
    }
    return points;
}

TEST(SurfaceOf, FindsTheHeightWhereTheCountsBeginToFall) {
    for (const double surface : {0.25, 0.3, 0.43, 0.71}) {
        const auto found = surface_of(curve(surface));
        ASSERT_TRUE(found) << surface;
        EXPECT_NEAR(found->height.value(), surface, 2.0 * found->standard.value()) << surface;
        EXPECT_NEAR(found->level, 900.0, 1.0);
    }
}

TEST(SurfaceOf, DoesNotCareForTheOrderOfThePoints) {
    auto points = curve(0.3);
    const auto rising = surface_of(points);
    std::reverse(points.begin(), points.end());
    const auto falling = surface_of(points);
    ASSERT_TRUE(rising && falling);
    EXPECT_EQ(rising->height, falling->height);
}

TEST(SurfaceOf, ShiftsWithTheHeights) {
    auto points = curve(0.3);
    const double before = surface_of(points)->height.value();
    for (CurvePoint& p : points) p.height = p.height + Millimetre(5.0);
    EXPECT_NEAR(surface_of(points)->height.value(), before + 5.0, 1e-9);
}

TEST(SurfaceOf, NamesCurvesThatShowNone) {
    EXPECT_EQ(surface_of({}).error(), statistics::Flaw::too_few_points);
    // The finger never met it.
    EXPECT_EQ(surface_of(curve(-0.5)).error(), statistics::Flaw::too_few_points);
    // It never left it.
    EXPECT_EQ(surface_of(curve(9.0)).error(), statistics::Flaw::no_convergence);
    auto points = curve(0.3);
    points[4].change = std::nan("");
    EXPECT_EQ(surface_of(points).error(), statistics::Flaw::not_finite);
}

}  // namespace
}  // namespace padtrim::metrology
