// What the tests beside GNU GSL share: functions as GSL wants them, and drawn data.
#pragma once

#include <cmath>
#include <cstdint>
#include <random>
#include <utility>
#include <vector>

#include <gsl/gsl_integration.h>
#include <gsl/gsl_math.h>

namespace padtrim::peers {

// A callable as a gsl_function; refers to it.
template <class F>
gsl_function function_of(F& f) {
    return {[](double x, void* self) { return (*static_cast<F*>(self))(x); }, &f};
}

// Integral by GSL's adaptive Gauss-Kronrod rule.
template <class F>
double integral(F f, double low, double high, double relative = 1e-11) {
    gsl_integration_workspace* room = gsl_integration_workspace_alloc(2000);
    gsl_function function = function_of(f);
    double result = 0.0, error = 0.0;
    gsl_integration_qag(&function, low, high, 1e-14, relative, 2000, GSL_INTEG_GAUSS61, room,
                        &result, &error);
    gsl_integration_workspace_free(room);
    return result;
}

struct DrawnLine {
    std::vector<double> x, y, ux, uy;
};
inline DrawnLine drawn_line(std::uint64_t seed, std::size_t points = 8) {
    std::mt19937_64 engine(seed);
    std::normal_distribution<double> normal;
    DrawnLine line;
    for (std::size_t i = 0; i < points; ++i) {
        const double truth = static_cast<double>(i);
        line.ux.push_back(0.05 + 0.1 * std::abs(normal(engine)));
        line.uy.push_back(0.1 + std::abs(normal(engine)));
        line.x.push_back(truth + line.ux[i] * normal(engine));
        line.y.push_back(3.0 + 2.0 * truth + line.uy[i] * normal(engine));
    }
    return line;
}

inline std::vector<double> drawn_series(std::uint64_t seed, std::size_t count) {
    std::mt19937_64 engine(seed);
    std::normal_distribution<double> normal;
    std::vector<double> series(count);
    for (double& value : series) value = normal(engine);
    return series;
}

// |ours / theirs - 1|, or the difference where theirs is 0.
inline double relative_difference(double ours, double theirs) {
    return theirs == 0.0 ? std::abs(ours) : std::abs(ours / theirs - 1.0);
}

}  // namespace padtrim::peers
