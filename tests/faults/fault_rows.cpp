#include "tests/faults/fault_rows.hpp"

#include <stdexcept>

#include "recipes/language/load.hpp"
#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::faults {

language::PlanPtr plan_of(const std::string& product, const std::string& fixture) {
    const std::string root = PADTRIM_SOURCE_DIR "/";
    auto loaded = language::load_plan({root + "recipes/examples/" + product + ".toml",
                                       root + "fixtures/units/" + product + ".toml",
                                       root + "fixtures/profiles/" + fixture + ".toml"});
    if (!loaded.plan) throw std::runtime_error(document::text_of(loaded.diagnostics));
    return loaded.plan;
}

language::PlanPtr plan_on(const std::string& fixture) {
    return plan_of("hob-panel-8", fixture);
}

std::vector<bench::Trouble> troubles_of(const std::string& text, const language::Plan& plan) {
    auto read = bench::read_troubles(text, bench::places_of(plan.fixture, plan.map));
    if (const auto* problem = std::get_if<std::string>(&read)) throw std::runtime_error(*problem);
    return std::get<std::vector<bench::Trouble>>(read);
}

namespace {

using engine::testing::BenchRig;

bench::BenchOptions options_of(const Fault& fault, const language::Plan& plan) {
    bench::BenchOptions options;
    options.units = 5;
    auto defects = bench::read_defects(fault.defect);
    if (const auto* problem = std::get_if<std::string>(&defects))
        throw std::runtime_error(*problem);
    options.defects = std::get<bench::DefectChoice>(defects);
    if (fault.step.empty()) options.troubles = troubles_of(fault.trouble, plan);
    return options;
}

// What a person does who is called: mends everything, and starts another lot.
[[nodiscard]] bool runs_again(BenchRig& rig) {
    bench::Trouble mended;
    mended.kind = bench::TroubleKind::mended;
    rig.bench.cause(mended);
    rig.bench.set_guard(true);
    rig.bench.press_emergency_stop(false);
    rig.fixture.reset();
    const auto open = [&](const language::PortName& port) { return rig.bench.link(port); };
    auto opened = drivers::Fixture::open(*rig.plan, rig.clock, open, {});
    if (!opened) return false;
    rig.fixture = std::move(*opened);
    rig.on_event = nullptr;
    rig.options.lot = "the next lot";
    rig.options.units = 1;
    const engine::LotOutcome lot = rig.run();
    return !lot.station_fault && lot.count.no_verdict == 0;
}

// Of the unit that followed the first: its result, or why it was not run.
std::string told(const engine::Event& event, const std::string& first) {
    if (const auto* aside = std::get_if<engine::UnitSetAside>(&event))
        return aside->serial != first ? aside->reason : "";
    return "";
}

}  // namespace

Outcome outcome_of(const Fault& fault) {
    const language::PlanPtr plan = plan_on(fault.fixture);
    BenchRig rig(plan, options_of(fault, *plan));
    rig.options.units = 3;
    const std::string first = rig.bench.units().at(0)->truth().serial;
    const std::string met = rig.bench.units().at(fault.unit - 1)->truth().serial;
    unsigned seen = 0;
    std::string aside;
    rig.on_event = [&](const engine::Event& event) {
        if (aside.empty()) aside = told(event, first);
        const auto* progress = std::get_if<engine::StepProgress>(&event);
        if (!progress || progress->serial != met || progress->step != fault.step) return;
        if (++seen != fault.progress) return;
        for (const auto& trouble : troubles_of(fault.trouble, *plan)) rig.bench.cause(trouble);
    };
    const engine::LotOutcome lot = rig.run();
    Outcome outcome;
    outcome.message = aside;
    if (const auto* run = rig.last_run(fault.unit)) {
        outcome.verdict = run->verdict();
        outcome.disposition = run->disposition;
        outcome.message = run->unit ? run->unit->result.reason : run->reason;
        if (run->unit) outcome.next_step = run->unit->result.next_step;
    }
    outcome.lot_goes_on = !lot.station_fault;
    outcome.lot_says = lot.station_fault ? lot.reason : "";
    outcome.runs_again = runs_again(rig);
    return outcome;
}

}  // namespace padtrim::faults
