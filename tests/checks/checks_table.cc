// Prints docs/checks.md: `checks_table > docs/checks.md`.
#include <cstdio>

#include "tests/checks/published.hpp"

int main() {
    std::fputs(padtrim::checks::checks_page().c_str(), stdout);
}
