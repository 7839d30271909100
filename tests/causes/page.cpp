#include <cstdio>

#include "db/statistics/binomial.hpp"
#include "tests/causes/trials.hpp"

namespace padtrim::causes {

namespace {

template <class... Values>
std::string printed(const char* format, Values... values) {
    char text[400];
    std::snprintf(text, sizeof text, format, values...);
    return text;
}

std::string matrix() {
    std::string page = "| injected \\ told |";
    for (const unsigned told : injected_sets()) page += " " + words_of(told) + " |";
    page += " more than was injected | not distinguishable |\n| --- |";
    for (std::size_t i = 0; i < injected_sets().size() + 2; ++i) page += " ---: |";
    page += "\n";
    for (const unsigned injected : injected_sets()) {
        const Said said = said_of(injected, page_histories);
        page += "| " + words_of(injected) + " |";
        int listed = 0;
        for (const unsigned told : injected_sets()) {
            const int count = said.told[told];
            listed += count;
            const std::string figure = count == 0 ? "" : printed("%d", count);
            page += told == injected ? " **" + figure + "** |" : " " + figure + " |";
        }
        page += printed(" %d | %d |\n", said.histories() - listed - said.not_distinguishable,
                        said.not_distinguishable);
    }
    return page;
}

std::string delay_rows() {
    std::string page =
        "| injected | chart | measured, units | theory, units | standard error | histories |\n"
        "| --- | --- | ---: | ---: | ---: | ---: |\n";
    for (const Delay& row : delays(page_histories))
        page += printed("| %s | %s | %.1f | %.1f | %.1f | %d |%s\n", row.cause.c_str(),
                        row.chart.c_str(), row.measured, row.theory, row.doubt, row.histories,
                        row.agrees() ? "" : " **missed**");
    return page;
}

std::string alarm_rows() {
    std::string page =
        "| chart or question | alarms | chances | counted, 99 % | stated |\n"
        "| --- | ---: | ---: | --- | ---: |\n";
    auto rows = unit_alarms(page_units);
    for (auto& row : station_alarms(page_stations)) rows.push_back(std::move(row));
    rows.push_back(question_alarms(said_of(0, page_histories * 5)));
    for (const FalseAlarms& row : rows)
        page +=
            printed("| %s | %llu | %llu | %.5f to %.5f | %s%.5f |%s\n", row.chart.c_str(),
                    static_cast<unsigned long long>(row.alarms),
                    static_cast<unsigned long long>(row.chances), row.low, row.high,
                    row.at_most ? "at most " : "", row.stated, row.agrees() ? "" : " **missed**");
    return page;
}

}  // namespace

FalseAlarms question_alarms(const Said& of_nothing) {
    const auto all = static_cast<std::uint64_t>(of_nothing.histories());
    FalseAlarms row{"the question what changed, of a channel pair", all,
                    all - static_cast<std::uint64_t>(of_nothing.told[0]), risk};
    const auto interval = *statistics::clopper_pearson_interval(row.alarms, all, 0.99);
    row.low = interval.low;
    row.high = interval.high;
    row.at_most = true;
    return row;
}

std::string causes_page() {
    return "# Injected causes, and what is said of them\n"
           "\n"
           "A station with two nests, three check standards and a product of its own, by the "
           "virtual "
           "bench's physics and the station's own fit (`tests/causes/`). Ten shift checks and "
           "eight "
           "lots of 25 units a nest in control; then a cause, or two, five more checks, and one "
           "more "
           "lot, of which `padtrim drift` is asked what changed. Printed by `cause_table`; a test "
           "fails when this page is stale, when a mean delay is further from its theory than 3.3 "
           "standard errors, or when a counted rate excludes the stated one.\n"
           "\n"
           "- **step**: reference R4 of one channel in one nest is 0.3 % larger. Of nine states of "
           "a "
           "line it moves the gain by 0.15 %, three times what one check scatters by.\n"
           "- **stray**: 0.05 pF more at one channel of one nest.\n"
           "- **product**: the newest lot's glue is 0.1 mm thicker.\n"
           "- **standard**: one check standard loses 0.1 % of its gain from check to check.\n"
           "\n"
           "## What is told\n"
           "\n" +
           printed("%d histories a row. At a risk of %g a history, both channels together.\n\n",
                   page_histories, risk) +
           matrix() +
           "\n"
           "*Not distinguishable* is an answer: more than one smallest set of causes fits what was "
           "measured, for one of the quantities at least.\n"
           "\n"
           "## How soon\n"
           "\n"
           "Check standards are measured every 200 units. Their limits are learnt from ten checks; "
           "the theory is the mean run length over the limits that were learnt, from the values' "
           "true means and scatter. Charts of units begin with the change; their run lengths are "
           "those of db/statistics/run_length.hpp, at the shift that the cause makes in sigmas of "
           "the product. A single shift check hardly sees what a step of 0.3 % does; five of them "
           "together, in the table above, do.\n"
           "\n" +
           delay_rows() +
           "\n"
           "## How often of nothing\n"
           "\n"
           "In control. A chart begins anew after each alarm.\n"
           "\n" +
           alarm_rows();
}

}  // namespace padtrim::causes
