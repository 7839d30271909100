// Prints docs/causes.md: cause_table > docs/causes.md
#include <cstdio>

#include "tests/causes/trials.hpp"

int main() {
    std::fputs(padtrim::causes::causes_page().c_str(), stdout);
    return 0;
}
