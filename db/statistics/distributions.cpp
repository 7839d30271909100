#include "db/statistics/distributions.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/policies/policy.hpp>
#include <boost/math/special_functions/chebyshev.hpp>

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

// A smooth function through its values at Chebyshev's points (Trefethen, Approximation Theory and
// Approximation Practice, chapter 8): with so many the error is that of rounding.
class Interpolated {
  public:
    template <class Function>
    Interpolated(double low, double high, Function&& function) : low_(low), high_(high) {
        const auto angle = [](std::size_t k) {
            return std::numbers::pi * (static_cast<double>(k) + 0.5) / static_cast<double>(points);
        };
        for (std::size_t k = 0; k < points; ++k) {
            const double value = function(0.5 * (low + high + (high - low) * std::cos(angle(k))));
            for (std::size_t j = 0; j < points; ++j) {
                coefficients_[j] += 2.0 / static_cast<double>(points) * value *
                                    std::cos(static_cast<double>(j) * angle(k));
            }
        }
    }
    [[nodiscard]] double at(double x) const {
        const double t = (2.0 * x - low_ - high_) / (high_ - low_);
        return boost::math::chebyshev_clenshaw_recurrence(coefficients_.data(), points, t);
    }

  private:
    static constexpr std::size_t points = 24;
    double low_, high_;
    std::array<double, points> coefficients_{};
};

// The t of 95 % and few degrees, in 1 / degrees: what every check is stated with.
double usual_coverage_factor(double degrees) {
    static const Interpolated factor(1.0 / 200.0, 1.0 / 2.0, [](double of_degrees) {
        return quantile(complement(Student(1.0 / of_degrees), 0.025));
    });
    return factor.at(1.0 / degrees);
}

// Chi-squared at the ends of 95 %, as sqrt(chi-squared / degrees) in 1 / sqrt(degrees): from 2 to a
// million degrees.
constexpr double most_usual_degrees = 1e6;
double usual_chi_squared(bool upper, double degrees) {
    const auto table = [](double p) {
        return Interpolated(1.0 / std::sqrt(most_usual_degrees), 1.0 / std::sqrt(2.0),
                            [p](double root) {
                                const double v = 1.0 / (root * root);
                                return std::sqrt(quantile(ChiSquared(v), p) / v);
                            });
    };
    static const Interpolated low = table(0.025), high = table(0.975);
    const double ratio = (upper ? high : low).at(1.0 / std::sqrt(degrees));
    return degrees * ratio * ratio;
}

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
    if (coverage == 0.95 && degrees >= 2.0) return usual_coverage_factor(degrees);
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
    const bool usual = probability == 0.025 || probability == 0.975;
    if (usual && degrees >= 2.0 && degrees <= most_usual_degrees) {
        return usual_chi_squared(probability > 0.5, degrees);
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
