// Steps in which the finger's place matters: sweep along sliders and wheels, hover, wet panel.
#include <algorithm>

#include "recipes/language/key_track.hpp"
#include "station/engine/steps.hpp"

namespace padtrim::engine {

namespace {

using namespace std::chrono_literals;
constexpr std::chrono::milliseconds patience = 10min;

Act<void> sweep_key(Workstand& at, std::string name, const language::Key& key, unsigned points) {
    const std::vector<double> parts = language::sweep_parts(key, points);
    for (const double part : parts) {
        auto there = co_await at.finger_at(key.name, language::on_track(key, part), Millimetre(0));
        if (!there) co_return there.error();
        auto reported = co_await at.note_within(name, key.name, true, report_time);
        if (!reported) co_return reported.error();
        auto noted = co_await at.note_position(name);
        if (!noted) co_return noted.error();
    }
    co_return port::Outcome<void>();
}

// One level way through the middle of every row of keys.
std::vector<Millimetre> rows_of(const language::RegisterMap& map) {
    std::vector<Millimetre> rows;
    for (const language::Key& key : map.keys) rows.push_back(key.y);
    std::sort(rows.begin(), rows.end());
    rows.erase(std::unique(rows.begin(), rows.end()), rows.end());
    return rows;
}

Act<void> watch(Workstand& at, std::string name, std::chrono::milliseconds time) {
    const port::Instant end = at.clock().now() + time;
    while (at.clock().now() < end) {
        auto noted = co_await at.note_report(name);
        if (!noted) co_return noted.error();
        co_await at.clock().sleep_for(watch_pause);
    }
    co_return port::Outcome<void>();
}

Act<void> wet_by_person(Workstand& at, std::string name, language::WetPanelStep step) {
    const std::string nest = std::to_string(at.nest().number);
    std::string picture;
    auto asked = co_await at.ask(name,
                                 "Lay " + step.target + " on the panel in nest " + nest +
                                     ". Does it lie there, and are your hands away?",
                                 picture, patience);
    if (!asked) co_return asked.error();
    const auto& answers = at.seen.answers;
    if (!*asked || answers.empty() || !answers.back().yes.value_or(false))
        co_return port::Outcome<void>();  // nothing was watched: the judge sees it
    auto watched = co_await watch(at, name, step.watch);
    if (!watched) co_return watched.error();
    auto dried = co_await at.ask(
        name, "Take " + step.target + " off and dry the panel in nest " + nest + ". Is it dry?",
        picture, patience);
    if (!dried) co_return dried.error();
    co_return port::Outcome<void>();
}

}  // namespace

Act<void> run_sweep(Workstand& at, std::string name, language::SweepStep step) {
    auto as_sold = co_await at.as_a_user_meets_it();
    if (!as_sold) co_return as_sold.error();
    auto turn = co_await at.take_finger();
    if (!turn) co_return turn.error();
    const auto keys = chosen_keys(at.plan().map, step.keys, language::has_position);
    const auto of = static_cast<std::uint32_t>(keys.size());
    std::uint32_t done = 0;
    for (const language::Key* key : keys) {
        at.say(key->name, done++, of);
        auto swept = co_await sweep_key(at, name, *key, step.points);
        if (!swept) co_return swept.error();
    }
    at.say("", of, of);
    auto away = co_await at.finger_away();
    co_return away;
}

Act<void> run_hover(Workstand& at, std::string name, language::HoverStep step) {
    auto as_sold = co_await at.as_a_user_meets_it();
    if (!as_sold) co_return as_sold.error();
    auto turn = co_await at.take_finger();
    if (!turn) co_return turn.error();
    auto ready = co_await at.put_on(step.target);
    if (!ready) co_return ready.error();
    const std::vector<Millimetre> rows = rows_of(at.plan().map);
    for (const Millimetre y : rows) {
        const language::PanelPlace start{Millimetre(0.0), y};
        auto there = co_await at.finger_at("", start, step.height);
        if (!there) co_return there.error();
        Workstand::Way way;
        way.place = {at.plan().map.panel_width, y};
        way.height = step.height;
        way.speed = step.speed;
        way.pause = 10ms;
        auto crossed = co_await at.glide(name, std::move(way));
        if (!crossed) co_return crossed.error();
    }
    auto away = co_await at.finger_away();
    co_return away;
}

Act<void> run_wet_panel(Workstand& at, std::string name, language::WetPanelStep step) {
    auto as_sold = co_await at.as_a_user_meets_it();
    if (!as_sold) co_return as_sold.error();
    if (step.placed_by == language::PlacedBy::person) {
        auto watched = co_await wet_by_person(at, name, step);
        co_return watched;
    }
    auto turn = co_await at.take_finger();
    if (!turn) co_return turn.error();
    auto ready = co_await at.put_on(step.target);
    if (!ready) co_return ready.error();
    const auto keys = chosen_keys(at.plan().map, step.keys);
    const auto of = static_cast<std::uint32_t>(keys.size());
    std::uint32_t done = 0;
    for (const language::Key* key : keys) {
        at.say(key->name, done++, of);
        auto wet = co_await at.finger_at(key->name, language::touch_place(*key), Millimetre(0.0));
        if (!wet) co_return wet.error();
        auto watched = co_await watch(at, name, step.watch);
        if (!watched) co_return watched.error();
    }
    at.say("", of, of);
    auto away = co_await at.finger_away();
    co_return away;
}

}  // namespace padtrim::engine
