// Do verdicts agree with what the units really are? Lots of units of which some are bad in ways
// that a line sees; every disagreement has to be explained by the doubt that the verdict states,
// and all are counted.
//
// A true value nearer to a limit than its expanded uncertainty may go either way: that is what the
// guard band (JCGM 106, 8.3) and the inconclusive zone say, not an error of the station.
#include <cmath>
#include <cstdio>
#include <map>

#include <gtest/gtest.h>

#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::engine {
namespace {

using record::Verdict;
using testing::BenchRig;

#ifdef __OPTIMIZE__
constexpr std::uint64_t lots = 60;
#else
constexpr std::uint64_t lots = 3;
#endif
constexpr std::uint32_t units_a_lot = 24;

// The true value behind a check, where a unit has one.
std::optional<double> true_value(bench::PanelDevice& unit, const language::Plan& plan,
                                 const record::CheckResult& check) {
    const auto frequencies = static_cast<int>(plan.map.frequencies.size());
    if (check.channel < 0) return std::nullopt;
    const auto channel = static_cast<std::size_t>(check.channel);
    const auto& sensing =
        unit.truth().sensing.at(channel * static_cast<std::size_t>(frequencies) +
                                static_cast<std::size_t>(std::max(0, check.frequency)));
    if (check.check == "gain") return sensing.gain;
    if (check.check == "offset") return sensing.offset;
    if (check.check == "noise") return sensing.noise;
    if (check.check != "touch response" || check.frequency > 0) return std::nullopt;
    for (const language::Key& key : plan.map.keys)
        if (key.name == check.key) {
            const bench::Probe probe{plan.fixture.finger->diameter.value(), key.x.value(),
                                     key.y.value(), 0.0};
            return unit.touch_response(probe).at(channel);
        }
    return std::nullopt;
}

bool inside(const record::CheckResult& check, double value, double slack) {
    return (!check.low || value >= *check.low - slack) &&
           (!check.high || value <= *check.high + slack);
}

bool has_defect_that_fails(const bench::UnitTruth& truth) {
    using bench::DefectKind;
    for (const DefectKind kind :
         {DefectKind::dead_channel, DefectKind::shorted_pair, DefectKind::noisy_supply,
          DefectKind::trims_lost_at_restart, DefectKind::trims_lost_at_power_off})
        if (truth.has(kind)) return true;
    return false;
}

class Comparison {
  public:
    void compare(bench::PanelDevice& unit, const language::Plan& plan,
                 const record::UnitResult& result) {
        bool bad = has_defect_that_fails(unit.truth());
        bool near = false;
        for (const record::CheckResult& check : result.checks) {
            const auto is = true_value(unit, plan, check);
            if (!is) continue;
            if (inside(check, *is, 0.0)) continue;
            bad = true;
            near |= inside(check, *is, 2.0 * check.expanded_uncertainty);
        }
        const char* truth = bad ? "bad" : "good";
        ++table_[std::string(truth) + ", judged " + std::string(name_of(result.verdict))];
        const bool agrees = result.verdict == (bad ? Verdict::fail : Verdict::pass);
        if (agrees) return;
        if (explained(unit, plan, result, bad, near)) return;
        unexplained_ += unit.truth().serial + " is " + truth + ", judged " +
                        std::string(name_of(result.verdict)) + ": " + result.reason + "\n";
    }

    [[nodiscard]] const std::string& unexplained() const { return unexplained_; }
    [[nodiscard]] unsigned count(const std::string& cell) const {
        const auto found = table_.find(cell);
        return found == table_.end() ? 0 : found->second;
    }
    void print() const {
        for (const auto& [cell, units] : table_) std::printf("%-28s %u\n", cell.c_str(), units);
        for (const auto& [why, units] : reasons_)
            std::printf("  disagrees: %-40s %u\n", why.c_str(), units);
    }

  private:
    bool explained(bench::PanelDevice& unit, const language::Plan& plan,
                   const record::UnitResult& result, bool bad, bool near) {
        if (result.verdict == Verdict::inconclusive) {
            for (const record::CheckResult& check : result.checks)
                if (check.verdict == Verdict::inconclusive)
                    return because("inconclusive: " + check.check + " within its uncertainty");
            return false;
        }
        if (bad && result.verdict == Verdict::pass)
            return near && because("passed, true value within the uncertainty of a limit");
        for (const record::CheckResult& check : result.checks) {
            if (check.verdict != Verdict::fail) continue;
            const auto is = true_value(unit, plan, check);
            if (is && inside(check, *is, 0.0) &&
                !(inside(check, *is, -2.0 * check.expanded_uncertainty)))
                return because("failed, true value within the uncertainty of a limit");
        }
        return false;
    }
    bool because(const std::string& why) {
        ++reasons_[why];
        return true;
    }

    std::map<std::string, unsigned> table_, reasons_;
    std::string unexplained_;
};

TEST(Verdicts, AgreeWithTheTruthOrSayTheirDoubt) {
    Comparison all;
    unsigned silent = 0, strangers = 0, no_verdict = 0, removed = 0;
    for (std::uint64_t seed = 1; seed <= lots; ++seed) {
        bench::BenchOptions options;
        options.seed = seed;
        options.units = units_a_lot;
        options.defects.chances = bench::DefectChances::line();
        options.defects.placed = {{5, bench::DefectKind::silent, {}},
                                  {9, bench::DefectKind::other_product, {}}};
        BenchRig rig(test_support::demo_plan({.nests = 4}), options);
        const LotOutcome outcome = rig.run();
        ASSERT_FALSE(outcome.station_fault) << "seed " << seed << ": " << outcome.reason;
        EXPECT_EQ(outcome.count.loaded, units_a_lot);
        no_verdict += outcome.count.no_verdict;
        removed += outcome.count.removed;
        for (const auto& unit : rig.bench.units()) {
            const bool is_silent = unit->truth().has(bench::DefectKind::silent);
            const bool is_stranger = unit->truth().has(bench::DefectKind::other_product);
            silent += is_silent ? 1 : 0;
            strangers += is_stranger ? 1 : 0;
            if (is_silent || is_stranger) continue;
            const auto* run = rig.last_run(unit->truth().serial);
            ASSERT_TRUE(run && run->unit) << "seed " << seed;
            all.compare(*unit, *rig.plan, run->unit->result);
        }
        ASSERT_TRUE(rig.bench.mishaps().empty()) << rig.bench.mishaps().front();
    }
    all.print();
    EXPECT_EQ(all.unexplained(), "");
    EXPECT_EQ(no_verdict, silent);
    EXPECT_EQ(removed, strangers);
    EXPECT_GT(all.count("good, judged pass"), 10 * lots);
    EXPECT_GT(all.count("bad, judged fail"), 0U);
}

}  // namespace
}  // namespace padtrim::engine
