// What do the looks of a touch step risk, and what do they save? The station's own rule: the
// scatter is estimated from the scans, the risk shared out among the looks.
#include <cmath>
#include <string>

#include "tests/coverage/trials.hpp"
#include "tests/station/metrology/touch_in_looks.hpp"

namespace padtrim::coverage {

namespace {

using metrology_test::Physics;

constexpr double stated_risk = 0.025;

struct Touched {
    double pass = 0.0, fail = 0.0, part_used = 0.0, touches = 0.0;
};

Touched touches(double low, double high, const Physics& physics, int least, std::uint64_t seed) {
    const auto plan = metrology_test::touch_plan(low, high);
    Touched ended;
    double used = 0.0, of = 0.0;
    while (ended.touches < least) {
        const auto whole = metrology_test::touched(plan, physics, seed++);
        const auto seen = metrology_test::stopped(plan, whole);
        used += metrology_test::scans_touching(seen);
        of += metrology_test::scans_touching(whole);
        for (const auto& check : metrology_test::responses(plan, seen)) {
            ended.touches += 1.0;
            ended.pass += check.verdict == record::Verdict::pass ? 1.0 : 0.0;
            ended.fail += check.verdict == record::Verdict::fail ? 1.0 : 0.0;
        }
    }
    ended.part_used = used / of;
    return ended;
}

}  // namespace

Table look_table(double correlation, int runs) {
    Table table{"Stopping early: looks of a touch step" +
                    std::string(correlation > 0.0 ? ", filtered readings (0.5)" : ""),
                "At most 4 looks of 4 scans; the response is 350 counts.",
                {}};
    const double allowed = stated_risk + 4.0 * std::sqrt(stated_risk * (1.0 - stated_risk) / runs);
    // Filtered readings are worth fewer: their noise is less, so that the last look tells as much.
    const double worth = (1.0 + correlation) / (1.0 - correlation);
    const Physics physics{.noise = 20.0 / std::sqrt(worth), .correlation = correlation};
    const Touched low = touches(350.0, 1000.0, physics, runs, 51'000'000);
    table.shares.push_back(
        {"response on its lower limit, passed", stated_risk, low.pass / low.touches, 0.0, allowed});
    table.shares.push_back(
        {"response on its lower limit, failed", stated_risk, low.fail / low.touches, 0.0, allowed});
    const Touched high = touches(50.0, 350.0, physics, runs, 61'000'000);
    table.shares.push_back({"response on its upper limit, passed", stated_risk,
                            high.pass / high.touches, 0.0, allowed});
    // 300 to 500 counts: 350 lies half a tolerance inside.
    const Touched half = touches(300.0, 500.0, physics, runs, 71'000'000);
    table.shares.push_back({"half a tolerance inside, failed", stated_risk,
                            half.fail / half.touches, 0.0, stated_risk});
    table.shares.push_back(
        {"half a tolerance inside, part of the plan's scans used", 0.5, half.part_used, 0.0, 0.5});
    return table;
}

}  // namespace padtrim::coverage
