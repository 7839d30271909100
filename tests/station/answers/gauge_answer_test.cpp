#include "station/answers/gauge_answer.hpp"

#include <fstream>
#include <sstream>

#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

// 10 parts x 3 appraisers x 3 trials, AIAG Measurement Systems Analysis, 4th ed.
std::vector<Measurement> published_study() {
    std::ifstream file(PADTRIM_SOURCE_DIR "/tests/data/gauge_study.csv");
    std::vector<Measurement> measurements;
    std::string line;
    while (std::getline(file, line)) {
        std::istringstream cells(line);
        std::string part, appraiser, trial, value;
        if (line.empty() || line.front() == '#') continue;
        std::getline(cells, part, ',');
        std::getline(cells, appraiser, ',');
        std::getline(cells, trial, ',');
        std::getline(cells, value, ',');
        if (part != "part") measurements.push_back({part, appraiser, std::stod(value)});
    }
    return measurements;
}

GaugeWish study_of(const std::string& lot) {
    GaugeWish wish;
    wish.values.runs.lot = lot;
    wish.values.runs.measure_only = true;
    wish.values.tries = WhichTries::every;
    return wish;
}

// The whole way: measured, stored, read, studied. Appraisers are nests.
class StoredStudy : public ::testing::Test {
  protected:
    void SetUp() override {
        ledger.lot("G-1", true);
        std::int64_t second = 10;
        for (const auto& each : published_study()) {
            const auto nest = static_cast<std::uint16_t>(each.appraiser[0] - 'A' + 1);
            ledger.unit({"part " + each.part,
                         {{"gain", each.value, record::Stage::as_found, "K1", -5.0, 5.0}},
                         nest,
                         record::Verdict::pass,
                         second});
            second += 10;
        }
    }
    test_support::QualityLedger ledger;
};

TEST_F(StoredStudy, AgreesWithThePublishedAnalysisOfVariance) {
    const auto answer = gauge_answer(ledger.reader(), study_of("G-1")).value();
    ASSERT_EQ(answer.places.size(), 1u);
    const auto& place = *answer.places[0].crossed;
    EXPECT_EQ(place.study.parts, 10u);
    EXPECT_EQ(place.study.appraisers, 3u);
    EXPECT_EQ(place.study.trials, 3u);
    EXPECT_EQ(place.left_out, 0u);
    ASSERT_TRUE(place.anova);
    // AIAG, 4th ed., report of the same data: interaction pooled.
    EXPECT_TRUE(place.anova->interaction_pooled);
    EXPECT_NEAR(place.anova->repeatability.deviation(), 0.199933, 5e-7);
    EXPECT_NEAR(place.anova->appraiser.deviation(), 0.226838, 5e-7);
    EXPECT_NEAR(place.anova->gauge.deviation(), 0.302373, 2e-6);  // as printed, from rounded parts
    EXPECT_NEAR(place.anova->part.deviation(), 1.042327, 5e-7);
    EXPECT_NEAR(place.anova->share_of_study(place.anova->gauge), 0.2786, 5e-5);
    EXPECT_EQ(place.anova->distinct_categories(), 4);
    // By average and range: 0.30575 with AIAG's rounded intermediates.
    EXPECT_NEAR(place.range->study.gauge.deviation(), 0.30575, 1e-4);
}

// ISO 22514-7 with nothing but what the study found: U = 2 GRR, Q = 2 U / T.
TEST_F(StoredStudy, SaysWhetherTheToleranceMayBeJudged) {
    const auto answer = gauge_answer(ledger.reader(), study_of("G-1")).value();
    const auto& fit = *answer.places[0].crossed->fit;
    EXPECT_NEAR(fit.q, 2.0 * 2.0 * 0.302373 / 10.0, 1e-6);
    EXPECT_TRUE(fit.fit);
    auto wish = study_of("G-1");
    wish.calibration = 1.0;
    EXPECT_FALSE(gauge_answer(ledger.reader(), wish).value().places[0].crossed->fit->fit);
}

TEST_F(StoredStudy, IsDrawnAndToldWithEveryValue) {
    const auto answer = gauge_answer(ledger.reader(), study_of("G-1")).value();
    const auto sheet = sheet_of(answer);
    ASSERT_EQ(sheet.charts.size(), 1u);
    EXPECT_EQ(sheet.charts[0].table.rows.size(), 90u);
    EXPECT_EQ(sheet.charts[0].series.size(), 3u);
    const auto json = to_json(answer);
    const auto& crossed = json.at("places").at(0).at("crossed");
    EXPECT_EQ(crossed.at("by_anova").at("distinct_categories").to_number<int>(), 4);
}

TEST_F(StoredStudy, TakesOneUnitForAType1StudyOnly) {
    auto wish = study_of("G-1");
    wish.type_1 = true;
    const auto answer = gauge_answer(ledger.reader(), wish).value();
    EXPECT_NE(answer.places[0].type_1->problem.find("10 units"), std::string::npos);
}

// Cg = 0.2 T / 6 s, Cgk = (0.1 T - |bias|) / 3 s (common practice): 25 readings of 10 and 25 of 12
// about 11 have s = sqrt(50/49), T = 60, reference 10.
TEST(GaugeAnswer, StudiesOneUnitAgainstItsReference) {
    test_support::QualityLedger ledger;
    ledger.lot("T", true);
    for (int i = 0; i < 50; ++i)
        ledger.unit(
            {"U1",
             {{"gain", i % 2 == 0 ? 10.0 : 12.0, record::Stage::as_found, "K1", -20.0, 40.0}},
             1,
             record::Verdict::pass,
             10 + i});
    auto wish = study_of("T");
    wish.type_1 = true;
    wish.reference = 10.0;
    const auto answer = gauge_answer(ledger.reader(), wish).value();
    const auto& study = *answer.places.at(0).type_1->study;
    const double s = std::sqrt(50.0 / 49.0);
    EXPECT_NEAR(study.cg.value, 12.0 / (6.0 * s), 1e-12);
    EXPECT_NEAR(study.cgk.value, (6.0 - 1.0) / (3.0 * s), 1e-12);
    EXPECT_EQ(answer.places[0].type_1->unit, "U1");
}

TEST(GaugeAnswer, FillsCellsEquallyAndSaysHowManyValuesThatCosts) {
    std::vector<Measurement> measurements;
    for (const char* part : {"P1", "P2", "P3"})
        for (const char* who : {"nest 1", "nest 2"})
            for (int trial = 0; trial < 2; ++trial)
                measurements.push_back({part, who, 1.0 * trial});
    measurements.push_back({"P2", "nest 1", 99.0});   // a third repetition
    measurements.push_back({"P4", "nest 2", 100.0});  // never in nest 1
    const auto place = crossed_of(measurements);
    EXPECT_EQ(place.parts, (std::vector<std::string>{"P1", "P2", "P3"}));
    EXPECT_EQ(place.study.trials, 2u);
    EXPECT_EQ(place.study.values.size(), 12u);
    EXPECT_EQ(place.left_out, 2u);
    for (const double value : place.study.values) EXPECT_LT(value, 2.0);
}

TEST(GaugeAnswer, SaysThatThereIsNothingToStudy) {
    test_support::QualityLedger ledger;
    ledger.lot("G", true);
    const auto answer = gauge_answer(ledger.reader(), study_of("G")).value();
    EXPECT_TRUE(answer.places.empty());
    EXPECT_NE(sheet_of(answer).sentences.at(0).find("--measure-only"), std::string::npos);
    EXPECT_EQ(crossed_of({}).study.parts, 0u);
}

}  // namespace
}  // namespace padtrim::answers
