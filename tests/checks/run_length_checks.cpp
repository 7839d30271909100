// Average run lengths of control charts, and of charts with run rules.
#include <cmath>

#include "db/quality/run_rule_rates.hpp"
#include "db/statistics/run_length.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

std::string at_shift(double shift) {
    char text[40];
    std::snprintf(text, sizeof text, ", shift %g sigma", shift);
    return text;
}

const char* const textbook =
    "Montgomery, Introduction to Statistical Quality Control, chapter 9 (from memory)";
const char* const other = "another solution of the integral equation, and GNU R";

void add_cusum(std::vector<Check>& checks) {
    // h, shift, printed, recomputed.
    constexpr double rows[][4] = {
        {4, 0, 168, 167.6837888},     {4, 0.25, 74.2, 74.22402789}, {4, 0.5, 26.6, 26.63020309},
        {4, 1, 8.38, 8.38313187},     {4, 2, 3.34, 3.342770129},    {4, 3, 2.19, 2.194480909},
        {5, 0, 465, 465.443506},      {5, 0.25, 139, 139.4936898},  {5, 0.5, 38.0, 37.99614319},
        {5, 0.75, 17.0, 17.04832594}, {5, 1, 10.4, 10.37596992},    {5, 1.5, 5.75, 5.747217703},
        {5, 2, 4.01, 4.008871061},    {5, 3, 2.57, 2.573252051},    {5, 4, 2.01, 2.012567523},
    };
    for (const auto& [h, shift, printed, recomputed] : rows) {
        const double ours = *statistics::cusum_run_length({0.5, h, 0.0}, shift);
        const std::string what =
            "CUSUM k 0.5 h " + std::to_string(static_cast<int>(h)) + at_shift(shift);
        checks.push_back({what, textbook, printed, ours, 2.1, "printed to 3 digits"});
        checks.push_back({what, other, recomputed, ours, 9, ""});
    }
    checks.push_back({"CUSUM k 0.5 h 4, one-sided, in control", "textbooks: 335, recomputed",
                      335.3675776, *statistics::upper_cusum_run_length({0.5, 4.0, 0.0}, 0.0), 9,
                      ""});
    constexpr double head_start[][2] = {
        {0, 430.39084}, {0.5, 28.66583}, {1, 6.3468505}, {2, 2.3622909}, {3, 1.5396425}};
    for (const auto& [shift, recomputed] : head_start)
        checks.push_back({"CUSUM k 0.5 h 5 head start 2.5" + at_shift(shift),
                          "Lucas and Crosier, Technometrics 24 (1982) 199, recomputed", recomputed,
                          *statistics::cusum_run_length({0.5, 5.0, 2.5}, shift), 6.5,
                          "prints 430, 28.7, 6.35, 2.36, 1.54 (from memory)"});
}

void add_ewma(std::vector<Check>& checks) {
    constexpr double rows[][4] = {
        {0.4, 3.054, 0, 499.9513386},   {0.4, 3.054, 1, 14.26276426},
        {0.25, 2.998, 0, 499.8360035},  {0.25, 2.998, 1, 11.13550198},
        {0.2, 2.962, 0, 499.7351222},   {0.2, 2.962, 0.5, 41.76439576},
        {0.2, 2.962, 1, 10.5416658},    {0.1, 2.814, 0, 499.5795501},
        {0.1, 2.814, 0.25, 106.321853}, {0.1, 2.814, 0.5, 31.2974352},
        {0.1, 2.814, 1, 10.33066516},   {0.1, 2.814, 2, 4.362253414},
        {0.05, 2.615, 0, 499.9330057},  {0.05, 2.615, 0.5, 28.763728},
        {0.05, 2.615, 1, 11.38280369},  {0.05, 2.615, 4, 2.694547711},
    };
    for (const auto& [lambda, width, shift, recomputed] : rows) {
        char what[80];
        std::snprintf(what, sizeof what, "EWMA lambda %g limits %g%s", lambda, width,
                      at_shift(shift).c_str());
        const double ours = *statistics::ewma_run_length({lambda, width}, shift);
        checks.push_back({what, other, recomputed, ours, 9, ""});
        if (shift == 0.0)
            checks.push_back({what, "Lucas and Saccucci, Technometrics 32 (1990) 1", 500.0, ours, 3,
                              "printed to 3 digits"});
    }
    checks.push_back({"Shewhart, in control", "closed form, textbooks print 370.4", 370.3983473,
                      *statistics::shewhart_run_length(3.0, 0.0), 9, ""});
    checks.push_back({"Shewhart, shift 1 sigma", "closed form, textbooks print 43.89", 43.89468172,
                      *statistics::shewhart_run_length(3.0, 1.0), 9, ""});
}

// Charts that Hawkins designed for a run length of 370 in control, with the length that an h of two
// decimals really has.
void add_designs(std::vector<Check>& checks) {
    constexpr double rows[][3] = {{0.25, 8.01, 370.332439},
                                  {0.5, 4.77, 368.561394},
                                  {0.75, 3.34, 370.574478},
                                  {1.0, 2.52, 372.815379},
                                  {1.25, 1.99, 373.540514}};
    for (const auto& [k, h, length] : rows) {
        char what[60];
        std::snprintf(what, sizeof what, "CUSUM k %g h %g, in control", k, h);
        const double ours = *statistics::cusum_run_length({k, h, 0.0}, 0.0);
        checks.push_back({what, other, length, ours, 8, ""});
        checks.push_back({what, "Hawkins, J. Quality Technology 25 (1993) 248 (from memory)", 370.0,
                          ours, 1.9, "h printed to 2 decimals"});
    }
}

void add_counts(std::vector<Check>& checks) {
    const char* sums = "sums of binomial and Poisson probabilities, term by term";
    checks.push_back(
        {"proportions chart of 50 around 0.2313, in control", sums, 385.15968689128147,
         *statistics::share_run_length(0.0524275480719, 0.410239118595, 50, 0.231333333333), 9,
         "not 370: counts are few"});
    checks.push_back({"counts chart around 16, in control", sums, 438.2674454575792,
                      *statistics::occurrence_run_length(4.0, 28.0, 1.0, 16.0), 9,
                      "not 370: counts are few"});
}

}  // namespace

std::vector<Check> run_length_checks() {
    std::vector<Check> checks;
    add_cusum(checks);
    add_ewma(checks);
    add_designs(checks);
    add_counts(checks);
    return checks;
}

std::vector<Check> run_rule_checks() {
    using enum quality::RunRule;
    struct Row {
        const char* name;
        quality::RuleSet rules;
        double in_control, at_one, printed;
    };
    const Row rows[] = {
        {"1", {beyond_limits}, 370.39835, 43.894682, 370.4},
        {"1+2", {beyond_limits, two_of_three}, 225.43841, 20.005036, 225.44},
        {"1+3", {beyond_limits, four_of_five}, 166.05452, 12.664386, 166.05},
        {"1+4", {beyond_limits, eight_on_one_side}, 152.73007, 14.578129, 152.73},
        {"1+2+3", {beyond_limits, two_of_three, four_of_five}, 132.89281, 10.951384, 132.89},
        {"1+2+4", {beyond_limits, two_of_three, eight_on_one_side}, 122.05077, 11.725839, 122.05},
        {"1+3+4", {beyond_limits, four_of_five, eight_on_one_side}, 105.78307, 10.187465, 105.78},
        {"1+2+3+4",
         {beyond_limits, two_of_three, four_of_five, eight_on_one_side},
         91.750773,
         9.22186,
         91.75},
        {"2 alone", {two_of_three}, 510.68851, NAN, NAN},
        {"3 alone", {four_of_five}, 291.31925, NAN, NAN},
        {"4 alone", {eight_on_one_side}, 255.0, NAN, NAN},
        {"2+3+4 alone", {two_of_three, four_of_five, eight_on_one_side}, 116.96789, NAN, NAN},
    };
    std::vector<Check> checks;
    const char* paper = "Champ and Woodall, Technometrics 29 (1987) 393";
    const char* chain = "another exact Markov chain, sparse solver";
    for (const Row& row : rows) {
        const std::string what = std::string("run rules ") + row.name;
        const double ours = *quality::run_length(row.rules, 0.0);
        checks.push_back({what + ", in control", chain, row.in_control, ours, 7, ""});
        if (std::isnan(row.printed)) continue;
        checks.push_back(
            {what + ", in control", paper, row.printed, ours, 4.1, "printed to 2 decimals"});
        checks.push_back({what + ", shift 1 sigma", chain, row.at_one,
                          *quality::run_length(row.rules, 1.0), 7, ""});
    }
    struct Window {
        const char* name;
        quality::RunRule rule;
        double probability;
    };
    const Window windows[] = {
        {"one beyond 3 sigma", beyond_limits, 0.00269979606326},
        {"eight on one side", eight_on_one_side, 0.0078125},
        {"nine on one side", nine_on_one_side, 0.00390625},
        {"six rising or falling", six_steady, 0.00277777777778},
        {"fourteen alternating", fourteen_alternating, 0.00457363819033},
        {"two of three beyond 2 sigma", two_of_three, 0.00305831201496},
        {"four of five beyond 1 sigma", four_of_five, 0.00553184220005},
        {"fifteen within 1 sigma", fifteen_within, 0.00326098104596},
        {"eight beyond 1 sigma", eight_beyond, 0.000102772195266},
    };
    for (const Window& window : windows)
        checks.push_back({std::string("run rule, window: ") + window.name,
                          "rules from memory, probability recomputed exactly", window.probability,
                          quality::window_probability(window.rule), 11, ""});
    return checks;
}

}  // namespace padtrim::checks
