#include "station/engine/write_back.hpp"

#include <stdexcept>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/engine/settlement.hpp"
#include "tests/station/engine/promises.hpp"

namespace padtrim::engine {
namespace {

using ::testing::HasSubstr;
using testing::Promises;
using testing::Rig;

TEST(WriteBack, PassesEveryNamedPointOnceInOrder) {
    Rig rig;
    rig.station.fill_magazine(1);
    std::vector<std::string> passed;
    rig.point = [&](const char* point) { passed.emplace_back(point); };
    rig.run();
    EXPECT_EQ(passed, std::vector<std::string>(write_back_points.begin(), write_back_points.end()));
}

TEST(WriteBack, NoPointIsPassedWhenNothingIsWritten) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.options.measure_only = true;
    rig.point = [&](const char* point) { ADD_FAILURE() << point; };
    rig.run();
}

// Stands for a stop of the station: the run ends here, nothing more is stored.
struct Stop : std::runtime_error {
    using std::runtime_error::runtime_error;
};

class StoppedAt : public ::testing::TestWithParam<const char*> {};

TEST_P(StoppedAt, TheNextStartSaysWhatIsKnownOfTheUnit) {
    Rig rig;
    rig.station.fill_magazine(2);
    bool stopped = false;
    rig.point = [&](const char* point) {
        if (!stopped && std::string(point) == GetParam()) {
            stopped = true;
            throw Stop(point);
        }
    };
    EXPECT_THROW(rig.run(), Stop);
    const auto& first = rig.journal.runs.front();
    const record::WriteStage stage = first.stage();
    const bool over = first.has_ended();
    rig.run();
    const auto settled = rig.told<RunSettled>();
    ASSERT_EQ(settled.size(), over ? 0U : 1U);
    const auto* run = rig.last_run("U1");
    if (!over) {
        EXPECT_EQ(settled[0].run.stage, stage);
        EXPECT_EQ(settled[0].disposition, settlement_of(stage).disposition);
        const bool wrote = stage != record::WriteStage::untouched;
        EXPECT_EQ(wrote, rig.journal.runs.front().intent.has_value());
        // Untouched: run again and passed. Written to: quarantined, and not run again.
        EXPECT_EQ(run->verdict(), wrote ? record::Verdict::no_verdict : record::Verdict::pass);
        EXPECT_EQ(run->disposition,
                  wrote ? record::Disposition::quarantined : record::Disposition::released);
    }
    EXPECT_EQ(rig.last_run("U2")->verdict(), record::Verdict::pass);
    EXPECT_EQ(rig.told<LotClosed>().front().count.loaded, 2U);
}

INSTANTIATE_TEST_SUITE_P(WriteBack, StoppedAt, ::testing::ValuesIn(write_back_points),
                         [](const auto& tested) {
                             std::string name = tested.param;
                             for (char& c : name)
                                 if (!std::isalnum(static_cast<unsigned char>(c))) c = '_';
                             return name;
                         });

TEST(Settlement, QuarantinesFromTheIntentOn) {
    using record::WriteStage;
    EXPECT_EQ(settlement_of(WriteStage::untouched).disposition, record::Disposition::undecided);
    EXPECT_THAT(settlement_of(WriteStage::untouched).reason, HasSubstr("Run the unit again"));
    std::set<std::string> reasons;
    for (int stage = 1; stage <= static_cast<int>(WriteStage::verified); ++stage) {
        const Settlement s = settlement_of(static_cast<WriteStage>(stage));
        EXPECT_EQ(s.disposition, record::Disposition::quarantined);
        reasons.insert(s.reason);
    }
    EXPECT_EQ(reasons.size(), 6U);
}

TEST(Settlement, SaysWhyAUnitIsNotRunAgain) {
    record::UnitStanding standing;
    const SecondRuns none{.after_a_pass = false, .without_a_pass = 3}, any{.after_a_pass = true};
    EXPECT_TRUE(why_not_again(standing, false, none).empty());
    standing.passed_in = "L-6";
    standing.passed_at = std::chrono::sys_days{std::chrono::year{2026} / 11 / 5};
    EXPECT_THAT(why_not_again(standing, false, none).text(),
                HasSubstr("passed in lot L-6 on 2026-11-05 already"));
    EXPECT_TRUE(why_not_again(standing, false, any).empty());
    standing.passed_in.clear();
    standing.not_passed = 3;
    EXPECT_THAT(why_not_again(standing, false, none).text(),
                HasSubstr("run 3 times and did not pass"));
    EXPECT_TRUE(why_not_again(standing, false, any).empty());
    standing.not_passed = 2;
    // What it did in this lot since is newer than a pass elsewhere.
    standing.passed_in = "L-6";
    standing.finished = true;
    EXPECT_TRUE(why_not_again(standing, true, none).empty());  // settled without verdict: run again
    standing.verdict = record::Verdict::fail;
    EXPECT_TRUE(why_not_again(standing, false, none).empty());
    EXPECT_THAT(why_not_again(standing, true, none).text(), HasSubstr("fail"));
    standing.not_passed = 3;
    EXPECT_THAT(why_not_again(standing, false, none).text(), HasSubstr("a person decides"));
    standing.verdict = record::Verdict::pass;
    EXPECT_THAT(why_not_again(standing, false, none).text(), HasSubstr("not run twice"));
    standing.disposition = record::Disposition::scrap;
    EXPECT_THAT(why_not_again(standing, false, none).text(), HasSubstr("scrapped"));
    standing.disposition = record::Disposition::quarantined;
    standing.reason = "It was.";
    EXPECT_THAT(why_not_again(standing, false, none).text(), HasSubstr("a person decides"));
}

}  // namespace
}  // namespace padtrim::engine
