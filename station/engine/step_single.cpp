// Steps that measure one property by itself: crosstalk, frequency agreement, non-linearity.
#include "station/engine/steps.hpp"
#include "station/engine/wiring.hpp"

namespace padtrim::engine {

namespace {

Act<void> over_references(Workstand& at, std::string name, std::vector<std::string> references,
                          unsigned scans) {
    auto ready = co_await at.ready_to_measure();
    if (!ready) co_return ready.error();
    Bracket bracket;
    bracket.references = std::move(references);
    bracket.groups = switching_groups(at.plan());
    bracket.scans = scans;
    auto taken = co_await take_bracketed(at, std::move(name), std::move(bracket));
    co_return taken;
}

}  // namespace

Act<void> run_crosstalk(Workstand& at, std::string name, language::CrosstalkStep step) {
    const Scans scans{step.scans, 1};
    auto touched = co_await touch_keys(at, name, step.keys, scans);
    co_return touched;
}

Act<void> run_frequency(Workstand& at, std::string name, language::FrequencyStep step) {
    std::vector<std::string> one;
    one.push_back(step.reference);
    auto taken = co_await over_references(at, name, std::move(one), step.scans);
    co_return taken;
}

Act<void> run_non_linearity(Workstand& at, std::string name, language::NonLinearityStep step) {
    auto taken = co_await over_references(at, name, step.references, step.scans);
    co_return taken;
}

}  // namespace padtrim::engine
