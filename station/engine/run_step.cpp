#include "station/engine/run_step.hpp"

#include <variant>

#include "station/engine/steps.hpp"

namespace padtrim::engine {

namespace {

Act<void> no_act() {
    co_return port::Outcome<void>();
}

struct Start {
    Workstand& at;
    WriteBack& write_back;
    const std::string& name;
    Act<void> operator()(const language::IdentifyStep&) const { return no_act(); }
    Act<void> operator()(const language::ContactStep& s) const { return run_contact(at, name, s); }
    Act<void> operator()(const language::GainOffsetStep& s) const {
        return run_gain_offset(at, name, s);
    }
    Act<void> operator()(const language::NoiseStep& s) const { return run_noise(at, name, s); }
    Act<void> operator()(const language::TouchStep& s) const { return run_touch(at, name, s); }
    Act<void> operator()(const language::WriteTrimsStep&) const { return no_act(); }
    Act<void> operator()(const language::PowerCycleStep& s) const {
        return write_back.power_cycle(s.off_time);
    }
    Act<void> operator()(const language::VerifyStep& s) const { return run_verify(at, name, s); }
    Act<void> operator()(const language::WaitStep& s) const { return run_wait(at, s); }
    Act<void> operator()(const language::AskStep& s) const { return run_ask(at, name, s); }
    Act<void> operator()(const language::WarmUpStep& s) const { return run_warm_up(at, name, s); }
    Act<void> operator()(const language::LinkStep& s) const { return run_link(at, name, s); }
    Act<void> operator()(const language::CrosstalkStep& s) const {
        return run_crosstalk(at, name, s);
    }
    Act<void> operator()(const language::FrequencyStep& s) const {
        return run_frequency(at, name, s);
    }
    Act<void> operator()(const language::NonLinearityStep& s) const {
        return run_non_linearity(at, name, s);
    }
    Act<void> operator()(const language::ApproachStep& s) const {
        return run_approach(at, name, s);
    }
    Act<void> operator()(const language::ResponseStep& s) const {
        return run_response(at, name, s);
    }
    Act<void> operator()(const language::SlowApproachStep& s) const {
        return run_slow_approach(at, name, s);
    }
    Act<void> operator()(const language::ProximityStep& s) const {
        return run_proximity(at, name, s);
    }
    Act<void> operator()(const language::SweepStep& s) const { return run_sweep(at, name, s); }
    Act<void> operator()(const language::HoverStep& s) const { return run_hover(at, name, s); }
    Act<void> operator()(const language::WetPanelStep& s) const {
        return run_wet_panel(at, name, s);
    }
    Act<void> operator()(const language::StuckKeyStep& s) const {
        return run_stuck_key(at, name, s);
    }
};

}  // namespace

Act<void> run_step(Workstand& at, WriteBack& write_back, const language::Step& step) {
    return std::visit(Start{at, write_back, step.name}, step.body);
}

}  // namespace padtrim::engine
