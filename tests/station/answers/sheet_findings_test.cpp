#include "station/answers/sheet_findings.hpp"

#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

using quality::Whose;

std::string words(const Json& finding, const char* name) {
    const auto* member = finding.is_object() ? finding.as_object().if_contains(name) : nullptr;
    return member == nullptr ? "missing" : boost::json::serialize(*member);
}

PlaceDrift steady_at(const std::string& key) {
    PlaceDrift place;
    place.place.check = "gain";
    place.place.key = key;
    place.finding = quality::DriftFinding{};
    return place;
}
PlaceDrift stepped_at(const std::string& key) {
    PlaceDrift place = steady_at(key);
    place.finding->kind = quality::Drift::step;
    return place;
}
PlaceDrift with_standards(PlaceDrift place, Whose whose, bool product_too = false) {
    place.station = StationDrift{};
    place.station->shared = quality::SharedChange{};
    place.station->shared->whose = whose;
    place.station->product = quality::ProductChange{};
    place.station->product->distinguishable = product_too;
    return place;
}
DriftAnswer drift(std::vector<PlaceDrift> places) {
    DriftAnswer answer;
    answer.places = std::move(places);
    return answer;
}

TEST(SheetFindings, DriftThatCheckStandardsShareIsTheStations) {
    const auto found = finding_of(
        drift({with_standards(stepped_at("1"), Whose::station),
               with_standards(stepped_at("2"), Whose::station), steady_at("3"), steady_at("4")}));
    EXPECT_EQ(words(found, "kind"), "\"station\"");
    EXPECT_EQ(words(found, "n"), "2");
    EXPECT_EQ(words(found, "of"), "4");
}

TEST(SheetFindings, DriftWithoutAStationsShareIsTheProducts) {
    const auto found = finding_of(
        drift({stepped_at("1"), with_standards(stepped_at("2"), Whose::not_distinguishable)}));
    EXPECT_EQ(words(found, "kind"), "\"product\"");
    EXPECT_EQ(words(found, "n"), "2");
}

TEST(SheetFindings, DriftBeyondTheStationsIsOfBoth) {
    EXPECT_EQ(
        words(finding_of(drift({with_standards(stepped_at("1"), Whose::station, true)})), "kind"),
        "\"both\"");
}

TEST(SheetFindings, ChannelsOfOneKeyAreOneKey) {
    const auto found = finding_of(drift({stepped_at("1"), stepped_at("1"), steady_at("2")}));
    EXPECT_EQ(words(found, "n"), "1");
    EXPECT_EQ(words(found, "of"), "2");
}

TEST(SheetFindings, SteadyIsSaidOnlyWherePointsSuffice) {
    EXPECT_EQ(words(finding_of(drift({steady_at("1")})), "kind"), "\"steady\"");
    PlaceDrift few = steady_at("1");
    few.finding.reset();
    few.flaw = statistics::Flaw::too_few_points;
    EXPECT_EQ(words(finding_of(drift({few})), "kind"), "\"too few\"");
    EXPECT_TRUE(finding_of(drift({})).is_null());
}

GaugePlace measured(const std::string& check, double share, bool fit) {
    GaugePlace place;
    place.place.check = check;
    place.crossed = CrossedPlace{};
    place.crossed->fit = quality::FitForTolerance{};
    place.crossed->fit->q = share;
    place.crossed->fit->fit = fit;
    return place;
}

TEST(SheetFindings, AGaugeIsAsFitAsItsWorstCheck) {
    GaugeAnswer answer;
    answer.places = {measured("gain", 0.12, true), measured("noise", 0.41, false)};
    const auto found = finding_of(answer);
    EXPECT_EQ(words(found, "kind"), "\"not fit\"");
    EXPECT_EQ(words(found, "check"), "\"noise\"");
    EXPECT_EQ(words(found, "n"), "1");
    answer.places.pop_back();
    EXPECT_EQ(words(finding_of(answer), "kind"), "\"fit\"");
    EXPECT_NEAR(finding_of(answer).as_object().at("share").as_double(), 0.12, 1e-12);
    answer.places.front().crossed->fit.reset();
    EXPECT_TRUE(finding_of(answer).is_null());
}

TEST(SheetFindings, UnitsAreCountedByWhatWasAskedFor) {
    Dispositions answer;
    answer.which = dispositions_named("waiting");
    answer.units.resize(7);
    EXPECT_EQ(words(finding_of(answer), "which"), "\"waiting\"");
    EXPECT_EQ(words(finding_of(answer), "n"), "7");
    answer.which = dispositions_named("scrap");
    EXPECT_EQ(words(finding_of(answer), "which"), "\"scrap\"");
}

record::SampledLot looked_at(const std::string& lot, const std::string& severity) {
    record::SampledLot sampled;
    sampled.lot = lot;
    sampled.severity = severity;
    return sampled;
}
SamplingStanding standing(std::vector<record::SampledLot> lots, quality::Switching switching = {}) {
    SamplingStanding one;
    one.plan.product = "panel";
    one.plan.step = "hover";
    one.plan.lots = std::move(lots);
    one.switching = switching;
    return one;
}

TEST(SheetFindings, InspectionSaysSinceWhichLotItIsWhatItIs) {
    const auto since = finding_of(std::vector{standing(
        {looked_at("1", "tightened"), looked_at("2", "normal"), looked_at("3", "normal")})});
    EXPECT_EQ(words(since, "severity"), "\"normal\"");
    EXPECT_EQ(words(since, "since"), "\"2\"");
    const auto next = finding_of(std::vector{standing({looked_at("1", "tightened")})});
    EXPECT_EQ(words(next, "since"), "null");
    EXPECT_TRUE(finding_of(std::vector<SamplingStanding>{}).is_null());
}

TEST(SheetFindings, TheStrictestInspectionSpeaks) {
    quality::Switching strict;  // two of five lots refused: tightened (ISO 2859-1, from memory)
    for (int lot = 0; lot < 2; ++lot) strict.after({});
    auto other = standing({}, strict);
    other.plan.product = "slider";
    const auto found = finding_of(std::vector{standing({}), other});
    EXPECT_EQ(words(found, "product"), "\"slider\"");
    EXPECT_EQ(words(found, "severity"), "\"tightened\"");
    EXPECT_EQ(words(found, "of"), "2");
}

TEST(SheetFindings, TouchedUnitsAndYieldsTellTheirFigures) {
    TouchedUnits touched;
    touched.units = 41;
    touched.runs.resize(43);
    EXPECT_EQ(words(finding_of(touched), "n"), "41");
    EXPECT_EQ(words(finding_of(touched), "runs"), "43");
    YieldAnswer yields;
    EXPECT_TRUE(finding_of(yields).is_null());
    yields.whole =
        YieldGroup{{}, "all", {}, quality::yield_of({.units = 12, .first_pass = 8}).value()};
    EXPECT_EQ(words(finding_of(yields), "kind"), "\"yield\"");
    EXPECT_EQ(words(finding_of(yields), "passed"), "8");
    EXPECT_EQ(words(finding_of(yields), "units"), "12");
    yields.alike = quality::Homogeneity{};
    yields.alike->significance = 0.009;
    EXPECT_EQ(words(finding_of(yields), "kind"), "\"differ\"");
    yields.alike->significance = 0.011;
    EXPECT_EQ(words(finding_of(yields), "kind"), "\"alike\"");
}

TEST(SheetFindings, ActsAreCountedAndTheLeastPpkHasItsInterval) {
    EXPECT_EQ(words(finding_of(std::vector<record::AuditEntry>(3)), "n"), "3");
    CapabilityAnswer capability;
    capability.places.resize(1);
    auto& figures = capability.places[0].figures.emplace();
    figures.performance.nearest.value = 1.1;
    EXPECT_EQ(words(finding_of(capability), "low"), "null");
    figures.performance.nearest.low = 0.7;
    figures.performance.nearest.high = 1.5;
    EXPECT_EQ(words(finding_of(capability), "high"), "1.5E0");
}

TEST(SheetFindings, DoubtIsSaidOnlyOfAStationThatWasFoundWrong) {
    InDoubt doubt;
    EXPECT_EQ(words(finding_of(doubt), "kind"), "\"unchecked\"");
    doubt.checks = 3;
    EXPECT_EQ(words(finding_of(doubt), "kind"), "\"trusted\"");
    doubt.blocking = record::ShiftCheck{};
    doubt.units.resize(3);
    doubt.units.front().would_change = true;
    EXPECT_EQ(words(finding_of(doubt), "n"), "3");
    EXPECT_EQ(words(finding_of(doubt), "changed"), "1");
}

}  // namespace
}  // namespace padtrim::answers
