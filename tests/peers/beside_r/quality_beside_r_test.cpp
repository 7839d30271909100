// The quality team's statistics beside GNU R (base and stats) on drawn data: what is published has
// few digits and few cases; R has both.
#include <random>

#include <gtest/gtest.h>

#include "db/quality/agreement.hpp"
#include "db/quality/capability.hpp"
#include "db/quality/compare_shares.hpp"
#include "db/quality/control_charts.hpp"
#include "db/quality/drift.hpp"
#include "db/quality/gauge_study.hpp"
#include "db/quality/measuring_system.hpp"
#include "db/quality/shared_change.hpp"
#include "db/quality/yield.hpp"
#include "tests/peers/beside_r/r_session.hpp"

namespace padtrim::peers {
namespace {

std::vector<double> drawn(std::uint64_t seed, std::size_t count, double mean, double deviation) {
    std::mt19937_64 engine(seed);
    std::normal_distribution<double> normal(mean, deviation);
    std::vector<double> values(count);
    for (double& value : values) value = normal(engine);
    return values;
}

void expect_near_relative(double ours, double theirs, double allowed, const std::string& what) {
    EXPECT_LE(std::abs(ours - theirs), allowed * std::max(std::abs(theirs), 1e-300))
        << what << ": " << ours << " beside " << theirs;
}

TEST(QualityBesideR, GaugeStudyByAnalysisOfVariance) {
    for (const std::uint64_t seed : {11u, 12u, 13u}) {
        statistics::CrossedStudy study{8, 3, 3, {}};
        const auto parts = drawn(seed, 8, 0.0, 3.0), who = drawn(seed + 100, 3, 0.0, 1.0);
        const auto cells = drawn(seed + 200, 24, 0.0, 0.4), noise = drawn(seed + 300, 72, 0.0, 0.5);
        std::string part, appraiser;
        for (std::size_t i = 0; i < 72; ++i) {
            const std::size_t p = i / 9, a = i / 3 % 3;
            study.values.push_back(100.0 + parts[p] + who[a] + cells[i / 3] + noise[i]);
            part += (i > 0 ? "," : "") + std::to_string(p);
            appraiser += (i > 0 ? "," : "") + std::to_string(a);
        }
        const auto r = asked_r("v <- " + r_vector(study.values) + "; p <- factor(c(" + part +
                               ")); a <- factor(c(" + appraiser +
                               "))\n"
                               "t <- anova(lm(v ~ p * a))\n"
                               "m <- t[['Mean Sq']]; say('part', m[1]); say('appraiser', m[2])\n"
                               "say('interaction', m[3]); say('error', m[4])\n"
                               "say('f', m[3] / m[4])\n"
                               "say('significance', pf(m[3] / m[4], t$Df[3], t$Df[4], "
                               "lower.tail = FALSE))\n");
        const auto anova = statistics::crossed_anova(study).value();
        expect_near_relative(anova.part.mean_square(), r.at("part"), 1e-10, "part");
        expect_near_relative(anova.appraiser.mean_square(), r.at("appraiser"), 1e-10, "appraiser");
        expect_near_relative(anova.interaction.mean_square(), r.at("interaction"), 1e-9, "inter");
        expect_near_relative(anova.repeatability.mean_square(), r.at("error"), 1e-9, "error");
        expect_near_relative(anova.interaction_significance, r.at("significance"), 1e-7, "p");
    }
}

TEST(QualityBesideR, IntervalsOfYieldsAndTestsOfTheirDifferences) {
    const std::vector<std::pair<statistics::Counted, statistics::Counted>> pairs = {
        {{30, 40}, {38, 40}}, {{3, 9}, {9, 10}}, {{950, 1000}, {970, 1000}}, {{7, 8}, {7, 8}}};
    for (const auto& [a, b] : pairs) {
        const auto r =
            asked_r("x <- c(" + std::to_string(a.part) + "," + std::to_string(b.part) +
                    "); n <- c(" + std::to_string(a.whole) + "," + std::to_string(b.whole) +
                    ")\n"
                    "w <- suppressWarnings(prop.test(x[1], n[1], correct = FALSE)$conf.int)\n"
                    "e <- binom.test(x[1], n[1])$conf.int\n"
                    "say('wilson_low', w[1]); say('wilson_high', w[2])\n"
                    "say('exact_low', e[1]); say('exact_high', e[2])\n"
                    "say('score', suppressWarnings(prop.test(x, n, correct = FALSE)$p.value))\n"
                    "say('fisher', fisher.test(rbind(x, n - x))$p.value)\n");
        const auto share = quality::share_of(a).value();
        expect_near_relative(share.wilson.low, r.at("wilson_low"), 1e-9, "Wilson, low");
        expect_near_relative(share.wilson.high, r.at("wilson_high"), 1e-9, "Wilson, high");
        expect_near_relative(share.exact.low, r.at("exact_low"), 1e-7, "exact, low");
        expect_near_relative(share.exact.high, r.at("exact_high"), 1e-7, "exact, high");
        const auto difference = quality::compare_shares(a, b).value();
        const bool exact = difference.test.test == quality::ShareTest::exact;
        expect_near_relative(difference.test.significance, r.at(exact ? "fisher" : "score"), 1e-6,
                             exact ? "Fisher" : "score");
    }
}

TEST(QualityBesideR, SeveralSharesAndHolm) {
    const std::vector<statistics::Counted> shares = {{80, 100}, {90, 100}, {95, 110}, {60, 90}};
    const auto r = asked_r(
        "t <- prop.test(c(80, 90, 95, 60), c(100, 100, 110, 90))\n"
        "say('chi', t$statistic); say('p', t$p.value)\n"
        "h <- p.adjust(c(0.01, 0.04, 0.03, 0.5), 'holm')\n"
        "say('h1', h[1]); say('h2', h[2]); say('h3', h[3]); say('h4', h[4])\n");
    const auto test = quality::homogeneity(shares).value();
    expect_near_relative(test.chi_squared, r.at("chi"), 1e-10, "chi-squared");
    expect_near_relative(test.significance, r.at("p"), 1e-8, "p");
    const auto holm = quality::holm(std::vector<double>{0.01, 0.04, 0.03, 0.5}).value();
    for (std::size_t i = 0; i < 4; ++i)
        expect_near_relative(holm[i], r.at("h" + std::to_string(i + 1)), 1e-12, "Holm");
}

TEST(QualityBesideR, CapabilityAndItsIntervals) {
    const auto values = drawn(31, 60, 50.0, 2.0);
    const auto figures = quality::capability_figures({}, values, {44.0, 58.0}, 0.95, {}).value();
    const auto r =
        asked_r("v <- " + r_vector(values) +
                "; n <- length(v); m <- mean(v); s <- sd(v)\n"
                "cp <- 14 / (6 * s); cpk <- min(58 - m, m - 44) / (3 * s)\n"
                "say('cp', cp); say('cpk', cpk)\n"
                "say('cp_low', cp * sqrt(qchisq(0.025, n - 1) / (n - 1)))\n"
                "say('cp_high', cp * sqrt(qchisq(0.975, n - 1) / (n - 1)))\n"
                "say('cpk_low', cpk - qnorm(0.975) * sqrt(1 / (9 * n) + cpk^2 / (2 * (n - 1))))\n"
                "say('outside', pnorm((44 - m) / s) + pnorm((m - 58) / s))\n");
    const auto& indices = figures.performance;
    expect_near_relative(indices.spread->value, r.at("cp"), 1e-12, "Pp");
    expect_near_relative(indices.nearest.value, r.at("cpk"), 1e-12, "Ppk");
    expect_near_relative(*indices.spread->low, r.at("cp_low"), 1e-8, "Pp, low");
    expect_near_relative(*indices.spread->high, r.at("cp_high"), 1e-8, "Pp, high");
    expect_near_relative(*indices.nearest.low, r.at("cpk_low"), 1e-8, "Ppk, low");
    expect_near_relative(indices.outside, r.at("outside"), 1e-8, "outside");
}

TEST(QualityBesideR, ChangesOfCheckStandards) {
    const auto before = drawn(41, 12, 10.0, 0.5), after = drawn(42, 9, 10.6, 0.8);
    const auto change = quality::change_of("S", before, after).value();
    const auto r = asked_r("a <- " + r_vector(before) + "; b <- " + r_vector(after) +
                           "\n"
                           "t <- t.test(b, a)\n"
                           "say('change', mean(b) - mean(a)); say('standard', t$stderr)\n"
                           "say('degrees', t$parameter)\n");
    expect_near_relative(change.value, r.at("change"), 1e-10, "change");
    expect_near_relative(change.standard, r.at("standard"), 1e-10, "standard");
    expect_near_relative(change.degrees, r.at("degrees"), 1e-9, "degrees");
}

TEST(QualityBesideR, TrendsAndSteps) {
    auto values = drawn(51, 24, 5.0, 1.0);
    for (std::size_t i = 12; i < 24; ++i) values[i] += 4.0;
    const auto trend = quality::trend_of(values).value();
    const auto step = quality::step_of(values).value();
    const auto r = asked_r("v <- " + r_vector(values) +
                           "; x <- seq_along(v) - 1; l <- lm(v ~ x)\n"
                           "say('slope', coef(l)[2]); say('squares', sum(residuals(l)^2))\n"
                           "best <- Inf; at <- 0\n"
                           "for (k in 1:(length(v) - 1)) { a <- v[1:k]; b <- v[(k + 1):length(v)]\n"
                           "  s <- sum((a - mean(a))^2) + sum((b - mean(b))^2)\n"
                           "  if (s < best) { best <- s; at <- k } }\n"
                           "say('at', at); say('step_squares', best)\n");
    expect_near_relative(trend.slope, r.at("slope"), 1e-10, "slope");
    expect_near_relative(trend.residual_squares, r.at("squares"), 1e-9, "squares");
    EXPECT_EQ(static_cast<double>(step.at), r.at("at"));
    expect_near_relative(step.residual_squares, r.at("step_squares"), 1e-9, "squares of the step");
}

TEST(QualityBesideR, Type1StudyAndAgreement) {
    const auto readings = drawn(61, 50, 20.02, 0.05);
    const auto study = quality::type1_study(readings, {20.0, 1.0}).value();
    const auto other = drawn(62, 50, 20.0, 0.05);
    const auto agreement = quality::agreement_of(readings, other).value();
    const auto r = asked_r("v <- " + r_vector(readings) + "; w <- " + r_vector(other) +
                           "\n"
                           "t <- t.test(v, mu = 20); say('p', t$p.value)\n"
                           "say('low', t$conf.int[1] - 20); say('high', t$conf.int[2] - 20)\n"
                           "say('cg', 0.2 / (6 * sd(v)))\n"
                           "say('cgk', (0.1 - abs(mean(v) - 20)) / (3 * sd(v)))\n"
                           "u <- t.test(v, w, paired = TRUE); say('paired', u$p.value)\n"
                           "say('difference', mean(v - w)); say('dlow', u$conf.int[1])\n");
    expect_near_relative(study.bias_significance, r.at("p"), 1e-6, "p");
    expect_near_relative(study.bias_low, r.at("low"), 1e-8, "bias, low");
    expect_near_relative(study.bias_high, r.at("high"), 1e-8, "bias, high");
    expect_near_relative(study.cg.value, r.at("cg"), 1e-10, "Cg");
    expect_near_relative(study.cgk.value, r.at("cgk"), 1e-9, "Cgk");
    expect_near_relative(agreement.significance, r.at("paired"), 1e-7, "paired");
    expect_near_relative(agreement.difference.value, r.at("difference"), 1e-9, "difference");
    expect_near_relative(agreement.difference.low, r.at("dlow"), 1e-7, "difference, low");
}

}  // namespace
}  // namespace padtrim::peers
