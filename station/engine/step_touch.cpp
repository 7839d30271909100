// The finger over each key, as a user meets the product: pins off, references open.
//
// One descent a key serves both purposes. The baseline is taken in test mode with the finger lifted
// over the key; test mode is then left, so that the product itself sees the finger come and
// reports; with the finger down test mode freezes the firmware again and the counts are taken.
#include <algorithm>

#include "station/engine/steps.hpp"
#include "station/metrology/touch_sequence.hpp"

namespace padtrim::engine {

namespace {

std::vector<bool> only(const language::RegisterMap& map, const std::string& key) {
    std::vector<bool> flags(map.keys.size(), false);
    for (std::size_t i = 0; i < map.keys.size(); ++i) flags[i] = map.keys[i].name == key;
    return flags;
}

Act<void> counts_of(Workstand& at, std::string name, unsigned scans) {
    if (scans == 0) co_return port::Outcome<void>();
    auto frozen = co_await at.test_mode(true);
    if (!frozen) co_return frozen.error();
    auto taken = co_await at.take(name, scans, record::Reading::raw);
    co_return taken;
}

// How far a step is: so many keys done, and of how many.
struct At {
    std::uint32_t done = 0, of = 0;
};

// In equal parts, until the response of this key is certain; each part is there to be seen.
Act<void> counts_in_looks(Workstand& at, std::string name, std::string key, Scans scans, At now) {
    const unsigned part = scans.each / scans.looks;
    auto first = co_await counts_of(at, name, part);
    if (!first) co_return first.error();
    for (unsigned look = 1; look < scans.looks; ++look) {
        const auto& plan = at.plan();
        if (metrology::touch_decided(plan, plan.fixture.equipment, at.seen, name, key)) break;
        at.say(key, now.done, now.of);
        auto more = co_await at.take_more(part);
        if (!more) co_return more.error();
    }
    if (scans.each > 0) at.say(key, now.done, now.of);
    co_return port::Outcome<void>();
}

Act<void> report_of(Workstand& at, std::string name, std::string touched) {
    auto as_sold = co_await at.test_mode(false);
    if (!as_sold) co_return as_sold.error();
    auto noted = co_await at.note_touched(name, only(at.plan().map, touched));
    co_return noted;
}

Act<void> touch_key(Workstand& at, std::string name, const language::Key& key, Scans scans,
                    At now) {
    at.say(key.name, now.done, now.of);
    auto above = co_await at.finger_to(key, false);
    if (!above) co_return above.error();
    auto baseline = co_await counts_of(at, name, scans.each);
    if (!baseline) co_return baseline.error();
    auto quiet = co_await report_of(at, name, "");
    if (!quiet) co_return quiet.error();
    auto down = co_await at.finger_to(key, true);
    if (!down) co_return down.error();
    auto reported = co_await report_of(at, name, key.name);
    if (!reported) co_return reported.error();
    auto counts = co_await counts_in_looks(at, name, key.name, scans, now);
    co_return counts;
}

}  // namespace

Act<void> touch_keys(Workstand& at, std::string name, std::vector<std::string> names, Scans scans,
                     Part part) {
    auto open = co_await at.open_references();
    if (!open) co_return open.error();
    auto off = co_await at.connect_pins(false);
    if (!off) co_return off.error();
    auto turn = co_await at.take_finger();
    if (!turn) co_return turn.error();
    const auto keys = chosen_keys(at.plan().map, names);
    const std::uint32_t of = part.before + static_cast<std::uint32_t>(keys.size()) + part.after;
    At now{part.before, of};
    for (const language::Key* key : keys) {
        auto touched = co_await touch_key(at, name, *key, scans, now);
        if (!touched) co_return touched.error();
        ++now.done;
    }
    at.say("", now.done, of);
    auto away = co_await at.finger_away();
    co_return away;
}

Act<void> run_touch(Workstand& at, std::string name, language::TouchStep step) {
    const Scans scans{step.scans, step.looks};
    auto touched = co_await touch_keys(at, name, step.keys, scans);
    co_return touched;
}

}  // namespace padtrim::engine
