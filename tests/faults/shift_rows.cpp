#include "tests/faults/shift_rows.hpp"

#include <stdexcept>

#include "station/answers/readiness.hpp"
#include "tests/faults/fault_rows.hpp"
#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::faults {

namespace {

using engine::testing::BenchRig;
using record::CheckDecision;

// The lamp's shipped bench fixture with check standards, which it does not have as shipped.
language::PlanPtr lamp_plan() {
    language::Plan plan = *plan_of("lamp-panel-slider-wheel", "lamp-bench-1-nest");
    plan.fixture.shift_check.emplace();
    plan.fixture.shift_check->baseline = 5;
    for (const char* serial : {"LAMP-S0001", "LAMP-S0002"})
        plan.fixture.shift_check->standards.push_back({serial, {"position error"}, {}});
    return std::make_shared<const language::Plan>(std::move(plan));
}
language::PlanPtr plan_for(const ShiftFault& fault) {
    return fault.slider ? lamp_plan() : plan_on("hob-line-1-nest");
}

bench::BenchOptions options_of(const ShiftFault& fault) {
    bench::BenchOptions options;
    options.units = 1;
    options.standards_ready = true;
    if (fault.challenge.empty()) return options;
    options.challenge_defects.clear();
    if (fault.challenge == "none") return options;
    const auto read = std::get<bench::DefectChoice>(bench::read_defects("1:" + fault.challenge));
    for (const auto& placed : read.placed)
        options.challenge_defects.push_back({placed.kind, placed.where.value_or(0)});
    return options;
}

class WatchedBench {
  public:
    explicit WatchedBench(const ShiftFault& fault)
        : plan_(plan_for(fault)), rig_(plan_, options_of(fault)) {}

    void suffer(const std::string& trouble) {
        for (const auto& each : troubles_of(trouble, *plan_)) rig_.bench.cause(each);
    }
    record::ShiftCheck check() {
        engine::LotOptions options = rig_.options;
        options.lot = "shift check " + std::to_string(++checks_);
        engine::ShiftRun run(rig_.parts(), plan_, options, {});
        const auto outcome = rig_.clock.run(run.run());
        if (!outcome.reason.empty()) throw std::runtime_error(outcome.reason);
        auto check = answers::shift_check_of(*plan_, outcome, history_);
        learn(check);
        return check;
    }

  private:
    // As the ledger does: from learning points of good checks.
    void learn(const record::ShiftCheck& check) {
        if (check.decision != CheckDecision::ready) return;
        for (const auto& point : check.points)
            if (point.state == record::ChartState::learning)
                history_[point.place].push_back(point.value);
    }
    language::PlanPtr plan_;
    BenchRig rig_;
    std::map<record::ChartPlace, std::vector<double>> history_;
    unsigned checks_ = 0;
};

}  // namespace

const std::vector<ShiftFault>& shift_faults() {
    static const std::vector<ShiftFault> all{
        {"nothing", "", "", false, CheckDecision::ready, "within the control limits"},
        {"references of one channel drifted by 2 %", "step_drift@1.2=2", "", false,
         CheckDecision::blocked, "references, pins and wiring of nest 1"},
        {"references of one channel drifted by 0.3 %", "step_drift@1.2=0.3", "", false,
         CheckDecision::blocked, "references, pins and wiring of nest 1"},
        {"finger worn by 1 mm", "finger_worn=1", "", false, CheckDecision::blocked, "dummy finger"},
        {"finger off by 1 mm, keys alone", "finger_off=1", "", false, CheckDecision::ready,
         "within the control limits"},
        {"finger off by 4 mm, keys alone", "finger_off=4", "", false, CheckDecision::blocked,
         "dummy finger"},
        {"finger off by 1 mm, slider and wheel", "finger_off=1", "", true, CheckDecision::blocked,
         "dummy finger"},
        {"interference on one sensing frequency", "tone@1=50", "", false, CheckDecision::blocked,
         "source of disturbance"},
        {"pin open, 0.5 pF in series", "pin_open@1.2", "", false, CheckDecision::blocked,
         "Contact"},
        {"challenge unit is good", "", "none", false, CheckDecision::blocked, "was not rejected"},
        {"challenge unit has another fault", "", "dead_channel@2", false, CheckDecision::blocked,
         "rejected, but not by touch response"},
    };
    return all;
}

record::ShiftCheck shift_check_under(const ShiftFault& fault) {
    WatchedBench bench(fault);
    if (!fault.challenge.empty()) return bench.check();
    const unsigned learning = plan_for(fault)->fixture.shift_check->baseline;
    for (unsigned i = 0; i < learning; ++i)
        if (const auto check = bench.check(); check.decision != CheckDecision::ready)
            throw std::runtime_error("the charts could not learn: " + check.cause);
    if (!fault.trouble.empty()) bench.suffer(fault.trouble);
    return bench.check();
}

}  // namespace padtrim::faults
