// What padtrim says of injected causes, how soon, and how often of nothing. Monte Carlo over
// production.hpp, every history with a seed of its own. One list for the test and for
// docs/causes.md (`cause_table` prints it).
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace padtrim::causes {

// Bits of what was injected, and of what was said.
enum Cause : unsigned { step = 1, stray = 2, product = 4, standard = 8 };
inline constexpr std::size_t cause_sets = 16;
[[nodiscard]] std::string words_of(unsigned causes);
// Nothing, each alone, and each pair.
[[nodiscard]] const std::vector<unsigned>& injected_sets();

inline constexpr double risk = 0.01;
struct Said {
    std::array<int, cause_sets> told{};  // by the set that was told with certainty
    int not_distinguishable = 0;         // more than one explanation fits, of part or all
    int blamed = 0;                      // with certainty on something that was not injected
    int wrong_place = 0;  // the right cause, in the wrong nest or of the wrong standard
    [[nodiscard]] int histories() const;
};
[[nodiscard]] Said said_of(unsigned injected, int histories);

// Mean delay until the chart signals.
struct Delay {
    std::string cause, chart;
    double measured = 0.0, doubt = 0.0;  // units, and the standard error of the mean
    double theory = 0.0;
    int histories = 0;
    [[nodiscard]] bool agrees() const;
};
[[nodiscard]] std::vector<Delay> delays(int histories);

// Alarms of a process in control.
struct FalseAlarms {
    std::string chart;
    std::uint64_t chances = 0, alarms = 0;
    double stated = 0.0;           // a chance
    double low = 0.0, high = 0.0;  // exact 99 % interval of the counted rate
    bool at_most = false;          // the stated rate is a bound
    [[nodiscard]] bool agrees() const;
};
[[nodiscard]] std::vector<FalseAlarms> unit_alarms(std::uint64_t units);
[[nodiscard]] std::vector<FalseAlarms> station_alarms(int stations);

// What was said of histories in which nothing was injected.
[[nodiscard]] FalseAlarms question_alarms(const Said& of_nothing);

// docs/causes.md, of so many.
inline constexpr int page_histories = 200, page_stations = 2000;
inline constexpr std::uint64_t page_units = 100'000;
[[nodiscard]] std::string causes_page();

}  // namespace padtrim::causes
