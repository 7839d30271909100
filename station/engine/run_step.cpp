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
};

}  // namespace

Act<void> run_step(Workstand& at, WriteBack& write_back, const language::Step& step) {
    return std::visit(Start{at, write_back, step.name}, step.body);
}

}  // namespace padtrim::engine
