#include "station/answers/drift_answer.hpp"

#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

// Small fixed scatter: no two lots alike, none far off.
double scatter(int i) {
    return 0.1 * ((i * 7) % 5 - 2);
}

class Lots : public ::testing::Test {
  protected:
    void lots(int count, int change_at, double change) {
        for (int lot = 0; lot < count; ++lot) {
            ledger.lot("L-" + std::to_string(lot));
            for (int i = 0; i < 4; ++i)
                ledger.unit({"U" + std::to_string(10 * lot + i),
                             {{"gain", 400.0 + scatter(lot) + scatter(i) +
                                           (lot >= change_at ? change : 0.0)}},
                             1,
                             record::Verdict::pass,
                             1000 * lot + 10 * i});
        }
    }
    // Eight checks of two standards; from the fifth on both read `shared` more, the second one
    // `alone` more than that.
    void checks(double shared, double alone) {
        for (int i = 0; i < 8; ++i) {
            record::ShiftCheck check;
            check.station = "S1";
            check.fixture = support::sample_lot("L").fixture;
            check.at = support::at_second(1000 * i + 500);
            check.decision = record::CheckDecision::ready;
            check.baseline = 4;
            for (const char* serial : {"STD-1", "STD-2"}) {
                record::ChartPoint point;
                point.place = {serial, 1, "gain and offset", "gain", "K1", 0, 0};
                point.value = 500.0 + scatter(i + serial[4]) + (i >= 4 ? shared : 0.0) +
                              (i >= 4 && serial[4] == '2' ? alone : 0.0);
                point.unit = "counts/pF";
                point.state = i < 4 ? record::ChartState::learning : record::ChartState::within;
                check.points.push_back(point);
                point.place.check = "offset";
                point.value = 2000.0 + scatter(i + serial[4] + 1) + (i >= 4 ? stray_counts : 0.0);
                check.points.push_back(point);
            }
            ledger.shift_check(check);
        }
    }
    double stray_counts = 0.0;  // more offset from the fifth check on
    PlaceDrift drift() {
        auto answer = drift_answer(ledger.reader(), {}).value();
        EXPECT_EQ(answer.places.size(), 1u);
        return answer.places.at(0);
    }
    test_support::QualityLedger ledger;
};

TEST_F(Lots, ShowWhereAStepWas) {
    lots(12, 6, 5.0);
    const auto place = drift();
    ASSERT_TRUE(place.finding);
    EXPECT_EQ(place.finding->kind, quality::Drift::step);
    EXPECT_EQ(place.points[place.finding->step.at].label, "L-6");
    EXPECT_NEAR(place.finding->step.size(), 5.0, 0.2);
    EXPECT_EQ(place.points[0].units, 4u);
    EXPECT_FALSE(place.station) << "no shift check was ever kept";
    const auto sheet = sheet_of(drift_answer(ledger.reader(), {}).value());
    EXPECT_NE(sheet.charts.at(0).sentence.find("at lot L-6"), std::string::npos)
        << sheet.charts[0].sentence;
    EXPECT_EQ(sheet.charts[0].series.size(), 2u) << "means, and the levels of the step";
}

TEST_F(Lots, ThatOnlyScatterAreNotCalledDrift) {
    lots(12, 12, 0.0);
    EXPECT_EQ(drift().finding->kind, quality::Drift::not_distinguishable);
}

TEST_F(Lots, TooFewAreSaidToBeTooFew) {
    lots(5, 3, 50.0);
    const auto place = drift();
    EXPECT_FALSE(place.finding);
    EXPECT_EQ(place.flaw, statistics::Flaw::too_few_points);
}

TEST_F(Lots, BlameTheStationForWhatItsStandardsShare) {
    lots(8, 4, 3.0);
    checks(3.0, 0.0);
    const auto place = drift();
    ASSERT_TRUE(place.station && place.station->shared);
    EXPECT_EQ(place.station->shared->whose, quality::Whose::station);
    EXPECT_NEAR(place.station->shared->value, 3.0, 0.3);
    ASSERT_TRUE(place.station->product);
    EXPECT_FALSE(place.station->product->distinguishable)
        << "the product changed by no more than the station";
}

TEST_F(Lots, BlameTheProductForWhatStandardsDoNotShow) {
    lots(8, 4, 3.0);
    checks(0.0, 0.0);
    const auto place = drift();
    EXPECT_EQ(place.station->shared->whose, quality::Whose::not_distinguishable);
    ASSERT_TRUE(place.station->product);
    EXPECT_TRUE(place.station->product->distinguishable);
    EXPECT_NEAR(place.station->product->value, 3.0, 0.3);
    const auto json = to_json(drift_answer(ledger.reader(), {}).value());
    EXPECT_TRUE(
        json.at("places").at(0).at("station").at("product").at("distinguishable").as_bool());
}

// One nest and two standards: 20 counts of offset at 400 counts/pF on both, and gain as it was.
TEST_F(Lots, TellStrayFromAReferenceByTheStandardsLines) {
    lots(8, 8, 0.0);
    stray_counts = 20.0;
    checks(0.0, 0.0);
    const auto answer = drift_answer(ledger.reader(), {}).value();
    ASSERT_EQ(answer.channels.size(), 1u);
    const auto& causes = answer.channels[0].causes;
    ASSERT_EQ(causes.causes.size(), 1u) << words_of(causes);
    EXPECT_EQ(causes.causes[0].kind, quality::ChannelCauseKind::stray);
    EXPECT_NEAR(causes.causes[0].size, 0.04, 0.001) << "in pF, by the standards' 500 counts/pF";
    const auto json = to_json(answer);
    EXPECT_EQ(json.at("channels").at(0).at("causes").at(0).at("cause").as_string(), "stray");
    const auto sheet = sheet_of(answer);
    ASSERT_EQ(sheet.tables.size(), 2u);
    EXPECT_NE(sheet.tables[1].rows.at(0).at(3).text.find("stray capacitance changed"),
              std::string::npos);
}

}  // namespace
}  // namespace padtrim::answers
