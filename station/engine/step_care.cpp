// Steps around the measurements: wait, ask, warm-up, supply and link, and each key's own report.
#include "station/engine/steps.hpp"
#include "station/engine/wiring.hpp"
#include "station/metrology/warm_up.hpp"

namespace padtrim::engine {

namespace {

std::optional<bool> standing_in(language::Unattended unattended) {
    if (unattended == language::Unattended::no_verdict) return std::nullopt;
    return unattended == language::Unattended::yes;
}

}  // namespace

Act<void> run_wait(Workstand& at, language::WaitStep step) {
    at.say("", 0, 1);
    co_await at.clock().sleep_for(step.time);
    at.say("", 1, 1);
    co_return port::Outcome<void>();
}

Act<void> run_ask(Workstand& at, std::string name, language::AskStep step) {
    auto asked = co_await at.ask(name, step.text, step.picture, step.patience);
    if (!asked) co_return asked.error();
    if (!*asked) at.note_answer(name, step.text, standing_in(step.unattended));
    co_return port::Outcome<void>();
}

Act<void> run_warm_up(Workstand& at, std::string name, language::WarmUpStep step) {
    auto ready = co_await at.ready_to_measure();
    if (!ready) co_return ready.error();
    const port::Instant begun = at.clock().now();
    const auto looks = static_cast<std::uint32_t>(step.longest / step.interval + 1);
    for (std::uint32_t look = 0; look < looks; ++look) {
        at.say("", look, looks);
        auto taken = co_await at.take(name, step.scans, record::Reading::raw);
        if (!taken) co_return taken.error();
        if (metrology::is_warm(at.seen, name, step.drift)) break;
        const port::Instant next = begun + (look + 1) * step.interval;
        co_await at.clock().sleep_for(next - at.clock().now());
    }
    at.say("", looks, looks);
    co_return port::Outcome<void>();
}

Act<void> run_link(Workstand& at, std::string name, language::LinkStep step) {
    at.say("", 0, 1);
    auto noted = co_await at.note_link(name, step.requests);
    at.say("", 1, 1);
    co_return noted;
}

Act<void> run_stuck_key(Workstand& at, std::string name, language::StuckKeyStep step) {
    auto open = co_await at.open_references();
    if (!open) co_return open.error();
    auto off = co_await at.connect_pins(false);
    if (!off) co_return off.error();
    auto as_sold = co_await at.test_mode(false);
    if (!as_sold) co_return as_sold.error();
    at.say("", 0, 2);
    // The product may still report what it felt when its test mode began.
    auto silent = co_await at.note_within(name, "", false, report_time);
    if (!silent) co_return silent.error();
    const port::Instant end = at.clock().now() + step.watch;
    while (at.clock().now() < end) {
        auto noted = co_await at.note_report(name);
        if (!noted) co_return noted.error();
        co_await at.clock().sleep_for(watch_pause);
    }
    if (!step.finger) co_return port::Outcome<void>();
    const Part finger{1, 0};
    const Scans none;
    auto touched = co_await touch_keys(at, name, step.keys, none, finger);
    co_return touched;
}

}  // namespace padtrim::engine
