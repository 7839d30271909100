// Allan deviation: the two test sets of NIST SP 1065.
#include <cstdint>

#include "db/statistics/series.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

void put(std::vector<Check>& checks, const std::string& what, const std::vector<double>& readings,
         std::size_t m, double published) {
    checks.push_back(
        {"Allan deviation, overlapping, " + what + ", " + std::to_string(m) + " readings averaged",
         "Riley, NIST SP 1065 (2008), 12.1 (from memory)", published,
         *statistics::allan_deviation(readings, m), 6.5, "printed to 7 digits"});
}

}  // namespace

std::vector<Check> series_checks() {
    std::vector<Check> checks;
    const std::vector<double> nine{892, 809, 823, 798, 671, 644, 883, 903, 677};
    put(checks, "9 points", nine, 1, 91.22945);
    put(checks, "9 points", nine, 2, 85.95287);
    // n -> 16807 n mod (2^31 - 1), from 1234567890, over 2^31 - 1.
    constexpr std::uint64_t modulus = 2147483647U;
    std::vector<double> thousand;
    for (std::uint64_t n = 1234567890U; thousand.size() < 1000U; n = 16807U * n % modulus)
        thousand.push_back(static_cast<double>(n) / static_cast<double>(modulus));
    put(checks, "1000 points", thousand, 1, 0.2922319);
    put(checks, "1000 points", thousand, 10, 0.09159953);
    put(checks, "1000 points", thousand, 100, 0.03241343);
    return checks;
}

}  // namespace padtrim::checks
