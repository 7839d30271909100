#include "station/metrology/joint_region.hpp"

#include <cmath>

#include "db/statistics/distributions.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

Checked<double> joint_distance(const record::ChannelLine& line, double gain, double offset) {
    const double g = gain - line.gain, o = offset - line.offset;
    const double vg = line.gain_standard * line.gain_standard;
    const double vo = line.offset_standard * line.offset_standard;
    const double both = line.covariance;
    const double determinant = vg * vo - both * both;
    const double distance = (g * g * vo - 2.0 * g * o * both + o * o * vg) / determinant;
    if (!std::isfinite(g + o + determinant)) return Flaw::not_finite;
    if (!(determinant > 0.0)) return Flaw::not_positive;
    if (!std::isfinite(distance)) return Flaw::not_finite;
    return distance;
}

Checked<double> joint_limit(double degrees) {
    constexpr double many = 5.991464547107979;  // -2 ln 0.05
    if (degrees >= 1e8) return many;
    const auto f = statistics::fisher_quantile(0.95, 2.0, degrees);
    if (!f) return f.error();
    return 2.0 * *f;
}

bool in_joint_region(const record::ChannelLine& line, double gain, double offset) {
    const auto distance = joint_distance(line, gain, offset);
    const auto limit = joint_limit(line.degrees_of_freedom);
    return distance && limit && *distance <= *limit;
}

}  // namespace padtrim::metrology
