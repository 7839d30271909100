// Gauge studies: the published crossed study both ways, bias over the range, two instruments.
#include <cmath>

#include "db/quality/agreement.hpp"
#include "db/quality/gauge_study.hpp"
#include "db/quality/measuring_system.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

const char* const msa = "AIAG Measurement Systems Analysis, 4th ed.";
const char* const study_recomputed = "AIAG MSA study, recomputed in NumPy and SciPy";

void put(std::vector<Check>& checks, const std::string& what, double wanted, double ours,
         double aim = 7) {
    checks.push_back({"gauge study, " + what, study_recomputed, wanted, ours, aim, ""});
}

statistics::CrossedStudy study() {
    return {10, 3, 3, columns_of("gauge_study.csv")[3]};
}

void add_study_by_anova(std::vector<Check>& checks) {
    const auto anova = *statistics::crossed_anova(study());
    put(checks, "squares of parts", 88.3619344444, anova.part.squares, 11);
    put(checks, "squares of appraisers", 3.1672622222, anova.appraiser.squares, 10);
    put(checks, "squares of the interaction", 0.3589822222, anova.interaction.squares, 9);
    put(checks, "squares of repetitions", 2.7589333333, anova.repeatability.squares, 10);
    put(checks, "F of the interaction", 0.43372103, anova.f_interaction, 7.5);
    put(checks, "its significance", 0.97410640, anova.interaction_significance, 7.5);
    put(checks, "F of parts over the interaction", 492.291423, anova.f_part, 8.5);
    put(checks, "F of appraisers over the interaction", 79.406049, anova.f_appraiser, 7.5);
    const auto pooled = *quality::gauge_study_by_anova(study(), 0.9);
    put(checks, "EV variance, pooled", 0.0399732764, pooled.repeatability.variance, 8);
    put(checks, "AV variance, pooled", 0.0514552612, pooled.appraiser.variance, 8);
    put(checks, "GRR variance, pooled", 0.0914285375, pooled.gauge.variance, 8);
    put(checks, "PV variance, pooled", 1.0864466044, pooled.part.variance, 9);
    put(checks, "GRR of the study", 0.27860651, pooled.share_of_study(pooled.gauge), 7.5);
    put(checks, "categories before rounding down", 4.860516, pooled.categories, 6.5);
    put(checks, "GRR of a tolerance of 8", 0.22677864, *pooled.share_of_tolerance(8.0), 7);
    const auto& interval = *pooled.repeatability.interval;
    checks.push_back({"gauge study, EV, 90 % interval, low", msa, 0.177, std::sqrt(interval.low),
                      3.2, "printed to 3 decimals, from memory"});
    checks.push_back({"gauge study, EV, 90 % interval, high", msa, 0.231, std::sqrt(interval.high),
                      2.7, "printed to 3 decimals, from memory"});
    checks.push_back({"gauge study, EV by variances", msa, 0.199933,
                      pooled.repeatability.deviation(), 5.9, "printed to 6 decimals"});
    checks.push_back({"gauge study, AV by variances", msa, 0.226838, pooled.appraiser.deviation(),
                      5.6, "printed to 6 decimals"});
    checks.push_back({"gauge study, GRR by variances", msa, 0.302373, pooled.gauge.deviation(), 5.2,
                      "printed to 6 decimals"});
    checks.push_back({"gauge study, distinct categories", msa, 4.0,
                      static_cast<double>(pooled.distinct_categories()), 15, ""});
    const auto full = *quality::gauge_study_by_anova(study(), 0.9, 1.0);
    put(checks, "AV variance, with interaction", 0.0521229218, full.appraiser.variance, 8);
    put(checks, "PV variance, with interaction", 1.0886721399, full.part.variance, 9);
    put(checks, "EV, with interaction", 0.21443466, full.repeatability.deviation(), 7);
    put(checks, "interaction, negative before it becomes 0", -0.0086795885,
        full.interaction.interval->estimate, 8);
}

void add_study_by_ranges(std::vector<Check>& checks) {
    const auto ranges = *quality::gauge_study_by_range(study());
    const auto& found = ranges.study;
    const char* exact = "AIAG MSA study, recomputed with exact 1/d2 and 1/d2*";
    const auto add = [&](const char* what, double wanted, double ours) {
        checks.push_back({std::string("gauge study by ranges, ") + what, exact, wanted, ours, 5.5,
                          "range constants kept to 6 decimals"});
    };
    add("EV", 0.20186280, found.repeatability.deviation());
    add("AV", 0.22968410, found.appraiser.deviation());
    add("GRR", 0.30578322, found.gauge.deviation());
    add("PV", 1.10445454, found.part.deviation());
    add("TV", 1.14600314, found.total.deviation());
    add("GRR of the study", 0.2668258102, found.share_of_study(found.gauge));
    add("categories before rounding down", 5.09276119, found.categories);
    const char* printed = "AIAG Measurement Systems Analysis, 4th ed. (from memory)";
    const char* rounded = "printed from rounded intermediates and factors";
    checks.push_back({"gauge study by ranges, GRR, printed", printed, 0.30575,
                      found.gauge.deviation(), 3.8, rounded});
    checks.push_back({"gauge study by ranges, PV, printed", printed, 1.10456,
                      found.part.deviation(), 3.9, rounded});
    checks.push_back({"gauge study by ranges, distinct categories", printed, 5.0,
                      static_cast<double>(found.distinct_categories()), 15, ""});
    checks.push_back({"gauge study by ranges, limit of a range", printed, 0.879450,
                      ranges.range_limit, 3.5, "printed with D4 = 2.574"});
}

void add_linearity(std::vector<Check>& checks) {
    const std::vector<std::vector<double>> readings{
        {2.7, 2.5, 2.4, 2.5, 2.7, 2.3, 2.5, 2.5, 2.4, 2.4, 2.6, 2.4},
        {5.1, 3.9, 4.2, 5.0, 3.8, 3.9, 3.9, 3.9, 3.9, 4.0, 4.1, 3.8},
        {5.8, 5.7, 5.9, 5.9, 6.0, 6.1, 6.0, 6.1, 6.4, 6.3, 6.0, 6.1},
        {7.6, 7.7, 7.8, 7.7, 7.8, 7.8, 7.8, 7.7, 7.8, 7.5, 7.6, 7.7},
        {9.1, 9.3, 9.5, 9.3, 9.4, 9.5, 9.5, 9.5, 9.6, 9.2, 9.3, 9.4}};
    std::vector<double> x, y;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        for (const double reading : readings[i]) {
            x.push_back(2.0 + 2.0 * static_cast<double>(i));
            y.push_back(reading);
        }
    }
    const auto bias = *quality::bias_over_range(x, y);
    const char* source = "AIAG MSA, 4th ed., linearity example (data and values from memory)";
    checks.push_back(
        {"bias over range, slope", source, -0.131667, bias.line.slope, 5.5, "printed to 6 digits"});
    checks.push_back({"bias over range, offset", source, 0.736667, bias.line.intercept, 6,
                      "printed to 6 digits"});
    checks.push_back({"bias over range, scatter", source, 0.23954,
                      std::sqrt(bias.line.residual_variance), 4.5, "printed to 5 digits"});
    checks.push_back({"bias over range, r squared", source, 0.714, *bias.line.r_squared(), 3,
                      "printed to 3 digits"});
}

void add_agreement(std::vector<Check>& checks) {
    const std::vector<double> large{494, 395, 516, 434, 476, 557, 413, 442, 650,
                                    433, 417, 656, 267, 478, 178, 423, 427};
    const std::vector<double> mini{512, 430, 520, 428, 500, 600, 364, 380, 658,
                                   445, 432, 626, 260, 477, 259, 350, 451};
    const auto agreement = *quality::agreement_of(large, mini);
    const char* source = "Bland and Altman, Lancet 327 (1986) 307 (data and values from memory)";
    checks.push_back({"agreement, mean difference", source, -2.1, agreement.difference.value, 1.7,
                      "printed to 1 decimal"});
    checks.push_back({"agreement, deviation of differences", source, 38.8, agreement.deviation, 3,
                      "printed to 1 decimal"});
    checks.push_back({"agreement, lower bound of the mean difference", source, -22.0,
                      agreement.difference.low, 2.3, "printed to 1 decimal"});
    checks.push_back({"agreement, upper bound of the mean difference", source, 17.8,
                      agreement.difference.high, 2.3, "printed to 1 decimal"});
}

}  // namespace

std::vector<Check> gauge_checks() {
    std::vector<Check> checks;
    add_study_by_anova(checks);
    add_study_by_ranges(checks);
    add_linearity(checks);
    add_agreement(checks);
    return checks;
}

}  // namespace padtrim::checks
