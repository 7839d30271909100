// Stated probabilities against realised ones, by Monte Carlo over simulated units.
//
// References, fixture part and temperature are redrawn within their certificates for every unit.
// Repeatable: every unit has its own seed. One list for the test and for docs/coverage.md
// (`coverage_table` prints it).
#pragma once

#include <string>
#include <vector>

namespace padtrim::coverage {

// One counted share of `cases`, and between which bounds it has to lie.
struct Share {
    std::string what;
    double stated = 0.0;
    double realised = 0.0;
    double low = 0.0, high = 1.0;
    [[nodiscard]] bool holds() const { return realised >= low && realised <= high; }
};
struct Table {
    std::string title;
    std::string says;  // a sentence on what was drawn
    std::vector<Share> shares;
};

// What part of the stated 95 % intervals and joint regions holds the truth, a channel.
[[nodiscard]] std::vector<Table> interval_tables(int units);
// How often what lies on its limit, or beyond it, is accepted.
[[nodiscard]] Table acceptance_table(int units);
// What stopping early risks and saves.
[[nodiscard]] std::vector<Table> stopping_tables(int runs);
// The same of the looks that a touch step takes at its readings, which the station stops by.
[[nodiscard]] Table look_table(double correlation, int runs);

[[nodiscard]] std::vector<Table> all_tables(int units);
// docs/coverage.md as it should be for so many units.
[[nodiscard]] std::string coverage_page(int units);

}  // namespace padtrim::coverage
