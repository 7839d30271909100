// Open, reference, open, reference, ..., open: what drifts meanwhile shows in the open readings and
// does not become slope.
#include "station/engine/steps.hpp"
#include "station/engine/wiring.hpp"

namespace padtrim::engine {

std::uint32_t states_of(const Bracket& bracket) {
    return static_cast<std::uint32_t>(2 * bracket.groups.size() * bracket.references.size() + 1);
}

Act<void> take_bracketed(Workstand& at, std::string name, Bracket bracket) {
    const std::uint32_t of = bracket.part.before + states_of(bracket) + bracket.part.after;
    std::uint32_t done = bracket.part.before;
    for (const auto& group : bracket.groups) {
        for (const std::string& reference : bracket.references) {
            at.say("", done, of);
            auto opened = co_await at.open_references();
            if (!opened) co_return opened.error();
            auto empty = co_await at.take(name, bracket.scans, bracket.reading);
            if (!empty) co_return empty.error();
            auto closed = co_await at.switch_in(reference, group);
            if (!closed) co_return closed.error();
            auto taken = co_await at.take(name, bracket.scans, bracket.reading);
            if (!taken) co_return taken.error();
            done += 2;
        }
    }
    auto opened = co_await at.open_references();
    if (!opened) co_return opened.error();
    auto last = co_await at.take(name, bracket.scans, bracket.reading);
    at.say("", done + 1, of);
    co_return last;
}

Act<void> run_gain_offset(Workstand& at, std::string name, language::GainOffsetStep step) {
    auto ready = co_await at.ready_to_measure();
    if (!ready) co_return ready.error();
    auto before = co_await at.note_climate();
    if (!before) co_return before.error();
    Bracket bracket;
    bracket.references = step.references;
    bracket.groups = switching_groups(at.plan());
    bracket.scans = step.scans;
    auto taken = co_await take_bracketed(at, name, std::move(bracket));
    if (!taken) co_return taken.error();
    auto after = co_await at.note_climate();
    co_return after;
}

}  // namespace padtrim::engine
