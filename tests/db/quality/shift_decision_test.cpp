#include "db/quality/shift_decision.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using record::ChartState;
using record::CheckDecision;
using record::Verdict;
using testing::HasSubstr;

record::CheckResult check(const std::string& name, int channel, double value,
                          Verdict verdict = Verdict::pass) {
    record::CheckResult result;
    result.step = name == "gain" ? "gain and offset" : "touch response";
    result.check = name;
    result.key = "key " + std::to_string(channel);
    result.channel = channel;
    result.frequency = 0;
    result.value = value;
    result.unit = name == "gain" ? "counts/pF" : "counts";
    result.verdict = verdict;
    return result;
}

MeasuredStandard good(const std::string& serial, double gain, double touch = 350.0) {
    MeasuredStandard unit{1, serial, {}};
    unit.result.verdict = Verdict::pass;
    for (int channel = 0; channel < 4; ++channel) {
        unit.result.checks.push_back(check("gain", channel, gain + channel));
        unit.result.checks.push_back(check("touch response", channel, touch));
    }
    return unit;
}
MeasuredStandard bad(const std::string& by, Verdict verdict = Verdict::fail) {
    MeasuredStandard unit{1, "X1", {}};
    unit.result.verdict = verdict;
    unit.result.reason = "Something is wrong.";
    unit.result.checks.push_back(check(by, 0, 1.0, verdict));
    return unit;
}

language::ShiftCheck rule(unsigned standards = 2) {
    language::ShiftCheck rule;
    rule.baseline = 5;
    for (unsigned i = 1; i <= standards; ++i)
        rule.standards.push_back({"S" + std::to_string(i), {"gain", "touch response"}, {}});
    rule.challenge = language::ChallengeUnit{"X1", {"touch response"}};
    return rule;
}

// A station under test: checks follow each other as in production, and charts learn from them.
class Watched {
  public:
    explicit Watched(language::ShiftCheck how) : rule(std::move(how)) {}
    record::ShiftCheck see(const std::vector<MeasuredStandard>& measured) {
        record::ShiftCheck check;
        decide(check, rule, measured, history);
        if (check.decision == CheckDecision::ready)
            for (const auto& point : check.points)
                if (point.state == ChartState::learning)
                    history[point.place].push_back(point.value);
        return check;
    }
    // So many good checks, with a scatter of +-0.2 counts/pF and +-0.5 counts.
    record::ShiftCheck learn(unsigned checks) {
        record::ShiftCheck last;
        for (unsigned i = 0; i < checks; ++i) {
            const double side = i % 2 == 0 ? 1.0 : -1.0;
            last = see({good("S1", 400.0 + 0.1 * side, 350.0 + 0.5 * side),
                        good("S2", 410.0 - 0.1 * side, 340.0 + 0.5 * side), bad("touch response")});
        }
        return last;
    }
    language::ShiftCheck rule;
    ChartHistory history;
};

TEST(ShiftDecision, LetsTheStationWorkWhileItsChartsLearn) {
    Watched station(rule());
    const auto check = station.learn(1);
    EXPECT_EQ(check.decision, CheckDecision::ready);
    EXPECT_THAT(check.cause, HasSubstr("measurement 1 of 5"));
    EXPECT_EQ(check.points.size(), 16U);
    for (const auto& point : check.points) EXPECT_EQ(point.state, ChartState::learning);
}

TEST(ShiftDecision, ComparesWithWhatItLearned) {
    Watched station(rule());
    station.learn(5);
    const auto check = station.learn(1);
    EXPECT_EQ(check.decision, CheckDecision::ready) << check.cause;
    EXPECT_EQ(check.cause, "16 values within the control limits.");
    for (const auto& point : check.points) {
        EXPECT_EQ(point.state, ChartState::within);
        EXPECT_LT(*point.low, point.value);
    }
    EXPECT_EQ(station.history.begin()->second.size(), 5U) << "a learnt chart learns no more";
}

TEST(ShiftDecision, BlocksWhenStandardsShareAChange) {
    Watched station(rule());
    station.learn(5);
    const auto check =
        station.see({good("S1", 408.0), good("S2", 418.0, 340.0), bad("touch response")});
    EXPECT_EQ(check.decision, CheckDecision::blocked);
    EXPECT_THAT(check.cause,
                HasSubstr("8 values of 16 are beyond the control limits. Worst: gain"));
    EXPECT_THAT(check.cause, HasSubstr("2 check standards show it, so the station has changed."));
    EXPECT_THAT(check.next_step, HasSubstr("references, pins and wiring of nest 1"));
}

TEST(ShiftDecision, SuspectsAStandardThatChangedAlone) {
    Watched station(rule());
    station.learn(5);
    const auto check =
        station.see({good("S1", 408.0), good("S2", 410.0, 340.0), bad("touch response")});
    EXPECT_EQ(check.decision, CheckDecision::blocked);
    EXPECT_THAT(check.cause, HasSubstr("Only S1 shows it"));
}

TEST(ShiftDecision, SaysThatOneStandardCannotTell) {
    Watched station(rule(1));
    for (const double gain : {400.0, 400.2, 399.9, 400.1, 400.0})
        station.see({good("S1", gain, 350.0 + gain - 400.0), bad("touch response")});
    const auto check = station.see({good("S1", 400.0, 340.0), bad("touch response")});
    EXPECT_EQ(check.decision, CheckDecision::blocked);
    EXPECT_THAT(check.cause, HasSubstr("cannot tell a change of its own"));
    EXPECT_THAT(check.next_step, HasSubstr("dummy finger"));
}

TEST(ShiftDecision, BlocksWhenTheChallengeUnitPasses) {
    Watched station(rule());
    const auto check =
        station.see({good("S1", 400.0), good("S2", 410.0), bad("touch response", Verdict::pass)});
    EXPECT_EQ(check.decision, CheckDecision::blocked);
    EXPECT_THAT(check.cause, HasSubstr("known to be bad and was not rejected: pass"));
    EXPECT_TRUE(station.history.empty()) << "a chart does not learn from a blocked check";
}

TEST(ShiftDecision, BlocksWhenTheChallengeUnitIsRejectedForAnotherReason) {
    Watched station(rule());
    const auto check = station.see({good("S1", 400.0), good("S2", 410.0), bad("gain")});
    EXPECT_EQ(check.decision, CheckDecision::blocked);
    EXPECT_THAT(check.cause, HasSubstr("rejected, but not by touch response"));
}

TEST(ShiftDecision, BlocksWhenAStandardIsRejectedOrHasNoVerdict) {
    for (const Verdict verdict : {Verdict::fail, Verdict::no_verdict}) {
        Watched station(rule());
        auto standard = good("S2", 410.0);
        standard.result.verdict = verdict;
        standard.result.reason = "The pin is open.";
        const auto check = station.see({good("S1", 400.0), standard, bad("touch response")});
        EXPECT_EQ(check.decision, CheckDecision::blocked);
        EXPECT_THAT(check.cause, HasSubstr("The pin is open."));
    }
}

TEST(ShiftDecision, TakesStatedLimitsFromTheFirstMeasurement) {
    auto stated = rule();
    stated.standards[0].limits.push_back({"gain", {}, 399.0, 404.0});
    stated.standards[0].limits.push_back({"gain", {"key 3"}, 402.0, 402.5});
    Watched station(stated);
    const auto check = station.learn(1);
    EXPECT_EQ(check.decision, CheckDecision::blocked);
    EXPECT_THAT(check.cause, HasSubstr("1 value of 4 is beyond the control limits. Worst: gain at "
                                       "key key 3"));
    EXPECT_THAT(check.cause, HasSubstr("its chart allows 402 to 402.5 counts/pF"));
}

TEST(ShiftDecision, TakesTheStatedUncertaintyOfValuesThatStoodStill) {
    Watched station(rule(1));
    const auto with_touch = [](double gain, double touch) {
        auto unit = good("S1", gain, touch);
        for (auto& check : unit.result.checks) check.standard_uncertainty = 0.5;
        return unit;
    };
    for (int i = 0; i < 5; ++i)
        station.see({with_touch(400.0 + 0.1 * (i % 2), 350.0), bad("touch response")});
    EXPECT_EQ(station.see({with_touch(400.0, 351.0), bad("touch response")}).decision,
              CheckDecision::ready);
    EXPECT_EQ(station.see({with_touch(400.0, 355.0), bad("touch response")}).decision,
              CheckDecision::blocked);
}

TEST(ShiftDecision, GivesNoLimitsToAChartThatStoodStillAndStatesNoUncertainty) {
    Watched station(rule(1));
    for (int i = 0; i < 5; ++i) station.see({good("S1", 400.0 + 0.1 * i), bad("touch response")});
    const auto check = station.see({good("S1", 400.2), bad("touch response")});
    EXPECT_EQ(check.decision, CheckDecision::ready);
    EXPECT_THAT(check.cause, HasSubstr("touch response of S1 does not scatter"));
}

}  // namespace
}  // namespace padtrim::quality
