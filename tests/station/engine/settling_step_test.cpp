// A contact that closes late behind a read-back that followed its coil: only the counts know.
#include <gmock/gmock.h>

#include "tests/station/engine/step_rig.hpp"

namespace padtrim::engine {
namespace {

using testing::OneUnit;
using testing::plan_of;
using testing::step_of;

language::Plan fitting() {
    language::GainOffsetStep fit;
    fit.references = {"R1", "R2", "R3", "R4"};
    fit.scans = 16;
    fit.settling.high = Counts(20.0);
    return plan_of({step_of("fit", fit)});
}

TEST(SettlingStep, PassesContactsThatSettleInTheProfilesTime) {
    OneUnit unit(fitting());
    const auto& record = unit.run();
    const auto checks = OneUnit::checks(record, "settling");
    ASSERT_FALSE(checks.empty());
    for (const auto& check : checks)
        EXPECT_EQ(check.verdict, record::Verdict::pass) << check.key << " " << check.value;
}

TEST(SettlingStep, SeesAContactThatIsLateBehindItsReadBack) {
    OneUnit unit(fitting());
    const auto& steps = unit.rig.plan->fixture.equipment.steps;
    const auto late = std::find_if(steps.begin(), steps.end(), [](const auto& step) {
        return step.nest == 1 && step.channel == 3 && step.reference == "R2";
    });
    bench::Trouble trouble;
    trouble.kind = bench::TroubleKind::contact_slow;
    trouble.place = late->coil;
    trouble.amount = 100.0;
    unit.rig.bench.cause(trouble);
    const auto& record = unit.run();
    EXPECT_TRUE(record.observations.faults.empty()) << "the board read back what it was told";
    int failed = 0;
    for (const auto& check : OneUnit::checks(record, "settling")) {
        EXPECT_EQ(check.verdict == record::Verdict::fail, check.channel == 3) << check.channel;
        failed += check.verdict == record::Verdict::fail ? 1 : 0;
    }
    EXPECT_GT(failed, 0);
}

}  // namespace
}  // namespace padtrim::engine
