#include <cstdio>

#include "tests/coverage/trials.hpp"

namespace padtrim::coverage {

std::vector<Table> all_tables(int units) {
    std::vector<Table> tables = interval_tables(units);
    tables.push_back(acceptance_table(units));
    for (Table& table : stopping_tables(units)) tables.push_back(std::move(table));
    for (const double r : {0.0, 0.5}) tables.push_back(look_table(r, units));
    return tables;
}

std::string coverage_page(int units) {
    std::string page =
        "# Stated against realised\n"
        "\n"
        "Each row counts over " +
        std::to_string(units) +
        " simulated units (or runs) how often something happened whose probability padtrim states. "
        "References, the fixture's part and the temperature are redrawn within their certificates "
        "for every unit. The simulation has a generator and physics of its own. Printed by "
        "`coverage_table`; the long tests fail when this page is stale or a row leaves its bounds. "
        "One standard deviation of a counted 0.95 is 0.0007, of 0.025 it is 0.0005. Bounds allow "
        "for the error of the counting: a figure held at or below is so within four deviations of "
        "it, and a realised 0.0253 beside a stated 0.025 proves neither.\n";
    for (const Table& table : all_tables(units)) {
        page += "\n## " + table.title + "\n\n" + table.says +
                "\n\n| | stated | realised | bounds |\n| --- | ---: | ---: | --- |\n";
        for (const Share& share : table.shares) {
            char line[240];
            std::snprintf(line, sizeof line, "| %s | %g | %.4f | %.4f to %.4f%s |\n",
                          share.what.c_str(), share.stated, share.realised, share.low, share.high,
                          share.holds() ? "" : ", **missed**");
            page += line;
        }
    }
    return page;
}

}  // namespace padtrim::coverage
