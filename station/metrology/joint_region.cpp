#include "station/metrology/joint_region.hpp"

#include <limits>

#include "db/statistics/distributions.hpp"

namespace padtrim::metrology {

double joint_distance(const record::ChannelLine& line, double gain, double offset) {
    const double g = gain - line.gain, o = offset - line.offset;
    const double vg = line.gain_standard * line.gain_standard;
    const double vo = line.offset_standard * line.offset_standard;
    const double both = line.covariance;
    const double determinant = vg * vo - both * both;
    if (!(determinant > 0.0)) return std::numeric_limits<double>::infinity();
    return (g * g * vo - 2.0 * g * o * both + o * o * vg) / determinant;
}

double joint_limit(double degrees) {
    constexpr double many = 5.991464547107979;  // -2 ln 0.05
    if (!(degrees < 1e8)) return many;
    const auto f = statistics::fisher_quantile(0.95, 2.0, degrees);
    return f ? 2.0 * *f : many;
}

}  // namespace padtrim::metrology
