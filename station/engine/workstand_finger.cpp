// The finger as a workstand uses it: at heights, along ways, and with a target in front of it.
#include <algorithm>

#include "station/engine/workstand.hpp"

namespace padtrim::engine {

namespace {

using namespace std::chrono_literals;

// A look at finger and product costs three exchanges; on links that take no time it costs this.
constexpr std::chrono::milliseconds least_pause = 1ms;
// A moving finger is not left alone for longer. Common practice, no source.
constexpr std::chrono::milliseconds longest_blind = 50ms;
// A swinging arm, common practice, no source.
constexpr std::chrono::milliseconds swing_time = 500ms;

bool reports(const language::RegisterMap& map, const std::vector<bool>& reported,
             const std::string& key) {
    for (std::size_t i = 0; i < map.keys.size() && i < reported.size(); ++i)
        if (reported[i] && (key.empty() || map.keys[i].name == key)) return true;
    return false;
}

}  // namespace

port::Position Workstand::place_of(language::PanelPlace place, Millimetre height) const {
    const language::Finger& finger = *plan_.fixture.finger;
    return {nest_.origin_x + place.x, nest_.origin_y + place.y,
            finger.surface_height + target_thickness_ + height};
}

Act<void> Workstand::as_a_user_meets_it() {
    auto open = co_await open_references();
    if (!open) co_return open.error();
    auto off = co_await connect_pins(false);
    if (!off) co_return off.error();
    auto as_sold = co_await test_mode(false);
    co_return as_sold;
}

Act<void> Workstand::finger_at(std::string key, language::PanelPlace place, Millimetre height) {
    const port::Position to = place_of(place, height);
    auto there = co_await parts_.finger->go(to);
    if (!there) co_return there.error();
    situation_.finger =
        record::FingerPose{std::move(key), to.x, to.y, to.z, height <= Millimetre(0.0)};
    co_return there;
}

Act<bool> Workstand::note_within(std::string step, std::string key, bool wanted,
                                 std::chrono::milliseconds hold) {
    const port::Instant last = parts_.clock->now() + hold;
    record::TouchReport report;
    report.step = std::move(step);
    report.finger = situation_.finger;
    bool felt = false;
    while (true) {
        auto touched = co_await unit_.touched();
        if (!touched) co_return touched.error();
        report.reported = std::move(*touched);
        felt = reports(plan_.map, report.reported, key);
        if (felt == wanted || parts_.clock->now() >= last) break;
        co_await parts_.clock->sleep_for(least_pause * 5);
    }
    report.at_us = now_us();
    seen.touch_reports.push_back(std::move(report));
    co_return felt;
}

Act<record::Sighting> Workstand::look_at(std::string step, record::FingerPose pose,
                                         std::int64_t finger_at_us) {
    record::Sighting sighting;
    sighting.step = std::move(step);
    sighting.finger = std::move(pose);
    sighting.finger_at_us = finger_at_us;
    auto touched = co_await unit_.touched();
    if (!touched) co_return touched.error();
    sighting.at_us = now_us();
    sighting.reported = std::move(*touched);
    auto positions = co_await unit_.positions();
    if (!positions) co_return positions.error();
    sighting.positions = std::move(*positions);
    co_return sighting;
}

Act<void> Workstand::note_position(std::string step) {
    record::FingerPose pose = situation_.finger.value_or(record::FingerPose{});
    const std::int64_t now = now_us();
    auto sighting = co_await look_at(std::move(step), std::move(pose), now);
    if (!sighting) co_return sighting.error();
    seen.sightings.push_back(std::move(*sighting));
    co_return port::Outcome<void>();
}

Act<void> Workstand::glide(std::string step, Way way) {
    const port::Position to = place_of(way.place, way.height);
    auto off = co_await parts_.finger->begin(to, way.speed);
    if (!off) co_return off.error();
    std::optional<port::Instant> ends;
    while (true) {
        const std::int64_t before = now_us();
        auto tracked = co_await parts_.finger->track();
        if (!tracked) co_return tracked.error();
        const port::Position at = tracked->at;
        record::FingerPose pose{way.key, at.x, at.y, at.z,
                                tracked->still && way.height <= Millimetre(0.0)};
        situation_.finger = pose;
        auto sighting = co_await look_at(step, std::move(pose), (before + now_us()) / 2);
        if (!sighting) co_return sighting.error();
        const bool felt = reports(plan_.map, sighting->reported, way.key);
        seen.sightings.push_back(std::move(*sighting));
        const port::Instant now = parts_.clock->now();
        if (tracked->still && !ends) ends = now + way.linger;
        if (ends && (now >= *ends || felt)) co_return port::Outcome<void>();
        auto paused = co_await pause_on_the_way(std::max(way.pause, least_pause));
        if (!paused) co_return paused.error();
    }
}

Act<void> Workstand::pause_on_the_way(std::chrono::milliseconds pause) {
    while (pause > longest_blind) {
        co_await parts_.clock->sleep_for(longest_blind);
        pause -= longest_blind;
        auto tracked = co_await parts_.finger->track();
        if (!tracked) co_return tracked.error();
    }
    co_await parts_.clock->sleep_for(pause);
    co_return port::Outcome<void>();
}

Act<void> Workstand::put_on(std::string target) {
    const language::Target* wanted = plan_.fixture.target(target);
    if (wanted == nullptr || !wanted->coil) co_return port::Outcome<void>();
    auto lifted = co_await parts_.finger->lift();
    if (!lifted) co_return lifted.error();
    auto swung = co_await set_one(*wanted->coil, true);
    if (!swung) co_return swung.error();
    target_coil_ = wanted->coil;
    target_thickness_ = wanted->thickness;
    co_await parts_.clock->sleep_for(swing_time);
    co_return swung;
}

Act<void> Workstand::take_off() {
    if (!target_coil_) co_return port::Outcome<void>();
    auto swung = co_await set_one(*target_coil_, false);
    if (!swung) co_return swung.error();
    target_coil_.reset();
    target_thickness_ = Millimetre(0.0);
    co_await parts_.clock->sleep_for(swing_time);
    co_return swung;
}

}  // namespace padtrim::engine
