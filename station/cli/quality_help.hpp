// What the quality team's commands say below their options: examples first, then what the answer
// means, and the exit codes. Internal to quality_commands.cpp.
#pragma once

#include <string>

namespace padtrim::cli {

inline const std::string times_and_faces =
    "\nTimes are UTC: 2026-03-01 or 2026-03-01T08:15; --until a day takes that day in. --csv is "
    "the "
    "table as CSV (RFC 4180),\n--json everything.\n\n"
    "Exit codes: 0 done, 1 (in-doubt) some verdict would change, 2 bad input, 3 the records are "
    "held by another process, a\nlot's books do not balance, or a disk is full.";

inline const std::string only_reads =
    "\nOnly reads; a station may be writing at the same time." + times_and_faces;

inline const std::string yield_help =
    "Examples:\n"
    "  padtrim yield --records line3.sqlite --by recipe\n"
    "  padtrim yield --records line3.sqlite --since 2026-03-01 --by nest --compare 1 3\n"
    "  padtrim yield --records line3.sqlite --lot 2231 --rolled --csv\n"
    "\n"
    "First-pass and final yield with their 95 % intervals (Wilson; --json adds those of Clopper "
    "and "
    "Pearson), whether they\ndiffer by more than chance, what retests recover by nest and by "
    "check, "
    "and what fails first. A unit counts where and\nwhen its first run began; units without a "
    "verdict are a fault of the station and count neither way. A check or nest\nthat recovers more "
    "than the others rejects good units. Periods are whole UTC days.\nRolled throughput yield is "
    "the product of the checks' own first-pass yields, as found and as left apart:\n--rolled lists "
    "them.\n" +
    only_reads;

inline const std::string capability_help =
    "Example:\n"
    "  padtrim capability --records line3.sqlite --check gain --since 2026-03-01\n"
    "  padtrim capability --records line3.sqlite --check gain --low 392 --high 408\n"
    "\n"
    "Cpk (scatter within lots; above 5000 units within days) and Ppk (all values) of every check "
    "with limits, with 95 %\nintervals and the distribution model that was used (ISO 22514-2), "
    "worst first. As found it speaks of the product,\n--as-left of the station. Each unit counts "
    "by its first try. --low and --high try limits that are not in force: how many\nvalues lie "
    "outside is counted.\n" +
    only_reads;

inline const std::string chart_help =
    "Examples:\n"
    "  padtrim chart --records line3.sqlite --check gain --key timer\n"
    "  padtrim chart --records line3.sqlite --check gain --key timer --kind weighted --baseline "
    "50\n"
    "\n"
    "Control charts: individuals, means-and-ranges, means-and-deviations (--size values in a row), "
    "weighted (exponentially\nweighted mean), sums (cumulative sums), share (of units rejected at "
    "first, a lot a point), occurrences (failed checks a\nunit, a lot a point). Limits come from "
    "the first --baseline points. It says after how many points the chart calls a\nfalse alarm, "
    "in the mean: each further rule adds some. --csv has the points of every chart.\n"
    "\nOnly reads, but --freeze writes: that ends with 3 while a station holds the records." +
    times_and_faces;

inline const std::string alarms_help =
    "Examples:\n"
    "  padtrim chart --records line3.sqlite --check gain --baseline 200 --freeze --who qa --why "
    "\"first month\"\n"
    "  padtrim alarms --records line3.sqlite\n"
    "  padtrim alarms --records line3.sqlite --reply 12 --who qa --why \"worn pin, replaced\"\n\n"
    "Looks at what came to every frozen chart since the last look and keeps its alarms, each once; "
    "then tells\nthose that nobody replied to. While a station holds the records it looks at the "
    "end of each lot, and this\ncommand only tells what it found.\n"
    "\nExit codes: 0 done, 1 an alarm has no reply, 2 bad input, 3 the records are held (for a "
    "reply).\n";

inline const std::string sampling_help =
    "Examples:\n"
    "  padtrim sampling --records line3.sqlite --set --product \"Hob Panel 8\" --step hover "
    "--level "
    "S-4 --aql 1.0 --who qa --why \"takes a minute\"\n"
    "  padtrim sampling --records line3.sqlite --step hover --lot 2231 --size 500\n"
    "  padtrim sampling --records line3.sqlite --step hover --lot 2231 --found 1 --who qa\n"
    "  padtrim sampling --records line3.sqlite --judge-lot 2231 --check hover --good 1 --bad 6\n\n"
    "Single sampling by attributes (ISO 2859-1; its tables are from memory): which units of a lot "
    "get "
    "a slow\nstep, in the order they come, and by the results so far whether the next lot is "
    "looked "
    "at more closely.\nReduced inspection is not offered. When inspection is stopped, --resume "
    "with "
    "--who and --why begins it again.\n\n"
    "--judge-lot: by variables, s method (ISO 3951-1, from memory). Of each key the mean has to "
    "stand k deviations away from\neach limit; k and the values needed come from two risks, or k "
    "is "
    "given.\n"
    "\nExit codes: 0 done, 1 the judged lot is not accepted, 2 bad input, 3 the records are held "
    "or the disk is full.\n";

inline const std::string drift_help =
    "Example:\n"
    "  padtrim drift --records line3.sqlite --check gain --station line-3\n"
    "\n"
    "Lot means with a step or a trend where one can be told at the stated risk, and whose change "
    "it "
    "is: what the station's\ncheck standards share is the station's, what one shows alone is its "
    "own, what the product changed beyond that is the\nproduct's. Eight lots or more; above 5000 "
    "units the means are of days, and eight days or more.\n" +
    only_reads;

inline const std::string gauge_help =
    "Examples:\n"
    "  padtrim run hob-panel-8.toml ... --lot G-1 --measure-only     # each unit in each nest, "
    "twice or more\n"
    "  padtrim gauge --records line3.sqlite --lot G-1 --check gain\n"
    "  padtrim gauge --type-1 --reference 400.2 --records line3.sqlite --lot G-2 --check gain "
    "--key "
    "timer\n"
    "  padtrim gauge --agreement line-3 line-4 --alike-within 0.5 --records both.sqlite --check "
    "gain\n"
    "  padtrim gauge --bias --references masters.csv --records line3.sqlite --check gain\n"
    "\n"
    "How much of the scatter is the measuring: units x nests x repetitions, from lots run with "
    "--measure-only. Take units\nthat differ as the line's do, load and unload them for each "
    "repetition. By analysis of variance and by ranges; whether\nthe station may judge this "
    "tolerance (ISO 22514-7). Type 1: one unit again and again, against its reference value.\n"
    "Agreement: the same units on two stations; mean difference and the limits that hold 95 % of "
    "single units. Bias: units\nwith reference values over the range; whether readings are off by "
    "more where values are larger, and whether that changed\nbetween lots.\n" +
    only_reads;

inline const std::string trace_help =
    "Examples:\n"
    "  padtrim trace HOB8-00418 --records line3.sqlite\n"
    "  padtrim trace --records line3.sqlite --relay 17 --fixture 'hob line' --since 2026-03-01\n"
    "  padtrim trace --records line3.sqlite --step 'gain and offset' --recipe 'hob panel' "
    "--revision "
    "B\n"
    "\n"
    "With a serial: everything about the unit, run by run, with what measured it. Without: every "
    "unit that a step, a relay,\na recipe revision, a fixture, a station or a span of time "
    "touched.\n" +
    only_reads;

inline const std::string in_doubt_help =
    "Example:\n"
    "  padtrim in-doubt --records line3.sqlite --station line-3\n"
    "\n"
    "After a shift check that found the station wrong: the units since its last good check, how "
    "far "
    "off the station may\nhave been by its check standards, and which units would get another "
    "verdict if it was. Those come first.\n" +
    only_reads;

inline const std::string lot_help =
    "Example:\n"
    "  padtrim lot 2231 --records line3.sqlite\n"
    "\n"
    "The lot's books: loaded = pass + fail + inconclusive + no verdict + removed, its tape, yield, "
    "channels, what failed and\nwhat to do next.\n" +
    only_reads;

inline const std::string export_help =
    "Examples:\n"
    "  padtrim export checks --records line3.sqlite --lot 2231 --out 2231.csv\n"
    "  padtrim export readings --records line3.sqlite --lot 2231 --json > 2231.jsonl\n"
    "\n"
    "units: a row a run. checks: a row a value with its limits and doubt, as found (--as-left for "
    "those). lines: gain and\noffset of each channel. readings: the raw counts. CSV to RFC 4180, "
    "or "
    "--json for a JSON object a line. All runs, not\nfirst tries only.\n" +
    only_reads;

inline const std::string report_help =
    "Example:\n"
    "  padtrim report --records line3.sqlite --lot 2231 --out 2231.html --who M\n"
    "  padtrim report --records line3.sqlite --since 2026-03-01 --until 2026-03-31 --out "
    "march.html\n"
    "\n"
    "One HTML page that needs nothing else: drawing sheets of A4 with books, yield, what fails, "
    "capability as found and as\nleft, control charts and drift. Print it from a browser, in black "
    "and white too. Every chart has its table.\n" +
    only_reads;

}  // namespace padtrim::cli
