// NIST StRD one-way analysis of variance.
#include <string>

#include "db/statistics/anova.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using Groups = std::vector<std::vector<double>>;

Groups read(const char* file) {
    const auto data = columns_of(file);
    Groups groups;
    for (std::size_t i = 0; i < data[0].size(); ++i) {
        const auto group = static_cast<std::size_t>(data[0][i]);
        if (groups.size() < group) groups.resize(group);
        groups[group - 1].push_back(data[1][i]);
    }
    return groups;
}

// The rule that makes the SmLs sets; values are read as decimals, as the files print them.
Groups simon_lesage(const char* base, int replicates) {
    Groups groups;
    for (int t = 1; t <= 9; ++t) {
        const int tenths = t == 1 ? 4 : (t % 2 == 0 ? 3 : 5);
        std::vector<double> group;
        for (int i = 1; i <= replicates; ++i) {
            const int shift = i == 1 ? 0 : (i % 2 == 0 ? -1 : 1);
            group.push_back(std::stod(std::string(base) + "." + std::to_string(tenths + shift)));
        }
        groups.push_back(std::move(group));
    }
    return groups;
}

struct Known {
    const char* name;
    Groups groups;
    double f;  // 0: the certified value
};

}  // namespace

std::vector<Check> anova_checks() {
    const std::vector<Known> sets{
        {"SiRstv", read("strd_sirstv.csv"), 0.0},
        {"AtmWtAg", read("strd_atmwtag.csv"), 15.946733566676926},
        {"SmLs01", simon_lesage("1", 21), 0.0},
        {"SmLs02", simon_lesage("1", 201), 0.0},
        {"SmLs03", simon_lesage("1", 2001), 0.0},
        {"SmLs04", simon_lesage("1000000", 21), 21.000000000776102},
        {"SmLs05", simon_lesage("1000000", 201), 201.00000001241763},
        {"SmLs06", simon_lesage("1000000", 2001), 2001.000000128833},
        {"SmLs07", simon_lesage("1000000000000", 21), 21.000811887818771},
        {"SmLs08", simon_lesage("1000000000000", 201), 201.01300409594845},
        {"SmLs09", simon_lesage("1000000000000", 2001), 2001.1349262209505},
    };
    std::vector<Check> checks;
    for (const Known& set : sets) {
        const auto anova = *statistics::one_way_anova(set.groups);
        const bool exact = set.f != 0.0;
        Check check{
            std::string(set.name) + " F",
            "NIST StRD ANOVA",
            exact ? set.f : certified("strd_anova_certified.csv", {set.name, "f_statistic"}),
            anova.f,
            11,
            ""};
        if (exact) {
            check.note =
                "exact for the data as binary64 holds them; certified for the decimal data";
        }
        checks.push_back(check);
        if (exact) continue;
        const auto put = [&](const char* what, const char* quantity, double ours) {
            checks.push_back({std::string(set.name) + " " + what, "NIST StRD ANOVA",
                              certified("strd_anova_certified.csv", {set.name, quantity}), ours, 12,
                              ""});
        };
        put("residual sd", "residual_sd", anova.residual_deviation);
        put("sum of squares between", "ss_between", anova.between_squares);
        put("sum of squares within", "ss_within", anova.within_squares);
        put("mean square between", "ms_between", anova.between_mean_square);
        put("mean square within", "ms_within", anova.within_mean_square);
        put("R squared", "r_squared", anova.r_squared);
    }
    return checks;
}

}  // namespace padtrim::checks
