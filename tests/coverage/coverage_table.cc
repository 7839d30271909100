// Prints docs/coverage.md: coverage_table [units] > docs/coverage.md, 100 000 when not said.
#include <cstdio>
#include <cstdlib>

#include "tests/coverage/trials.hpp"

int main(int argc, char** argv) {
    const int units = argc > 1 ? std::atoi(argv[1]) : 100000;
    std::fputs(padtrim::coverage::coverage_page(units).c_str(), stdout);
    return 0;
}
