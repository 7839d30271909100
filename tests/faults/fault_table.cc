// Prints docs/faults.md: `fault_table > docs/faults.md`.
#include <cstdio>

#include "tests/faults/fault_rows.hpp"

int main() {
    std::fputs(padtrim::faults::faults_page().c_str(), stdout);
}
