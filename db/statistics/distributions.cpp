#include "db/statistics/distributions.hpp"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/policies/policy.hpp>

namespace padtrim::statistics {

namespace {

namespace policies = boost::math::policies;
// Arguments are checked before; double stays double so that results are the same everywhere.
using Plain = policies::policy<policies::promote_double<false>,
                               policies::domain_error<policies::ignore_error>,
                               policies::overflow_error<policies::ignore_error>,
                               policies::evaluation_error<policies::ignore_error>>;
using Normal = boost::math::normal_distribution<double, Plain>;
using Student = boost::math::students_t_distribution<double, Plain>;
using ChiSquared = boost::math::chi_squared_distribution<double, Plain>;
using Fisher = boost::math::fisher_f_distribution<double, Plain>;

bool is_probability(double p) {
    return p > 0.0 && p < 1.0;
}
bool is_degrees(double degrees) {
    return degrees > 0.0;
}

// Beyond this Student's t equals the normal distribution to double precision of our uses.
constexpr double normal_from = 1e12;

// Abramowitz and Stegun 26.7.5: t as a series in 1/degrees around the normal quantile z.
double student_series(double z, double degrees) {
    const double z2 = z * z;
    const double g1 = z * (z2 + 1.0) / 4.0;
    const double g2 = z * ((5.0 * z2 + 16.0) * z2 + 3.0) / 96.0;
    const double g3 = z * (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) / 384.0;
    const double g4 =
        z * ((((79.0 * z2 + 776.0) * z2 + 1482.0) * z2 - 1920.0) * z2 - 945.0) / 92160.0;
    const double v = 1.0 / degrees;
    return z + v * (g1 + v * (g2 + v * (g3 + v * g4)));
}

// 0.975 quantile of the normal distribution.
constexpr double z_95 = 1.9599639845400542;

}  // namespace

double normal_density(double z) {
    return 0.3989422804014327 * std::exp(-0.5 * z * z);
}

double normal_probability(double z) {
    return 0.5 * std::erfc(-z * 0.7071067811865476);
}

Checked<double> normal_quantile(double probability) {
    if (!is_probability(probability)) return Flaw::out_of_domain;
    return quantile(Normal(), probability);
}

Checked<double> student_probability(double t, double degrees) {
    if (std::isnan(t)) return Flaw::not_finite;
    if (!is_degrees(degrees)) return Flaw::out_of_domain;
    if (std::isinf(t) || degrees > normal_from) return normal_probability(t);
    return cdf(Student(degrees), t);
}

Checked<double> student_quantile(double probability, double degrees) {
    if (!is_probability(probability) || !is_degrees(degrees)) return Flaw::out_of_domain;
    if (degrees > normal_from) return normal_quantile(probability);
    return quantile(Student(degrees), probability);
}

Checked<double> coverage_factor(double coverage, double degrees) {
    if (!is_probability(coverage) || !is_degrees(degrees)) return Flaw::out_of_domain;
    if (coverage == 0.95 && degrees >= 200.0) return student_series(z_95, degrees);
    // The upper tail keeps its digits where 1 - coverage is small.
    const double tail = 0.5 * (1.0 - coverage);
    if (degrees > normal_from) return quantile(complement(Normal(), tail));
    return quantile(complement(Student(degrees), tail));
}

Checked<double> chi_squared_probability(double value, double degrees) {
    if (!std::isfinite(value)) return Flaw::not_finite;
    if (value < 0.0 || !is_degrees(degrees) || std::isinf(degrees)) return Flaw::out_of_domain;
    return cdf(ChiSquared(degrees), value);
}

Checked<double> chi_squared_quantile(double probability, double degrees) {
    if (!is_probability(probability) || !is_degrees(degrees) || std::isinf(degrees)) {
        return Flaw::out_of_domain;
    }
    return quantile(ChiSquared(degrees), probability);
}

Checked<double> fisher_upper_probability(double value, double numerator, double denominator) {
    if (!std::isfinite(value)) return Flaw::not_finite;
    if (value < 0.0 || !is_degrees(numerator) || !is_degrees(denominator)) {
        return Flaw::out_of_domain;
    }
    if (std::isinf(numerator) && std::isinf(denominator)) return Flaw::out_of_domain;
    if (value == 0.0) return 1.0;
    if (std::isinf(denominator)) return cdf(complement(ChiSquared(numerator), numerator * value));
    if (std::isinf(numerator)) return cdf(ChiSquared(denominator), denominator / value);
    return cdf(complement(Fisher(numerator, denominator), value));
}

Checked<double> fisher_quantile(double probability, double numerator, double denominator) {
    if (!is_probability(probability) || !is_degrees(numerator) || !is_degrees(denominator)) {
        return Flaw::out_of_domain;
    }
    if (std::isinf(numerator) && std::isinf(denominator)) return Flaw::out_of_domain;
    if (std::isinf(denominator)) return quantile(ChiSquared(numerator), probability) / numerator;
    if (std::isinf(numerator)) {
        return denominator / quantile(complement(ChiSquared(denominator), probability));
    }
    return quantile(Fisher(numerator, denominator), probability);
}

}  // namespace padtrim::statistics
