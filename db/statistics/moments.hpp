// Mean and variance that can be merged: of a batch, of a stream, of both.
//
// A plain value without limits on the number of values; thread safe as values are. Merging is
// Chan, Golub and LeVeque's pairwise form ("Algorithms for computing the sample variance", 1983);
// a batch is summed in two passes with the correction for the rounded mean from the same paper.
#pragma once

#include <cstdint>
#include <span>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

class Moments {
  public:
    Moments() = default;
    [[nodiscard]] static Moments of(std::span<const double> values);
    // Rebuilt from what a store kept; negative squares have no variance (not_positive).
    [[nodiscard]] static Moments from_parts(std::uint64_t count, double mean, double squares,
                                            double lowest, double highest);

    void add(double value);
    void merge(const Moments& other);

    // As a store keeps them for from_parts(), whether they are numbers or not.
    struct Parts {
        std::uint64_t count = 0;
        double mean = 0.0, squares = 0.0, lowest = 0.0, highest = 0.0;
    };
    [[nodiscard]] Parts parts() const { return {count_, mean_, squares_, lowest_, highest_}; }

    [[nodiscard]] std::uint64_t count() const { return count_; }
    [[nodiscard]] double squares() const { return squares_; }  // sum about the mean
    [[nodiscard]] Checked<double> mean() const;                // one value or more
    [[nodiscard]] Checked<double> variance() const;            // two or more; divides by n - 1
    [[nodiscard]] Checked<double> standard_deviation() const;
    [[nodiscard]] Checked<double> lowest() const;
    [[nodiscard]] Checked<double> highest() const;
    friend bool operator==(const Moments&, const Moments&) = default;

  private:
    std::uint64_t count_ = 0;
    double mean_ = 0.0;
    double squares_ = 0.0;
    double lowest_ = 0.0;
    double highest_ = 0.0;
};

}  // namespace padtrim::statistics
