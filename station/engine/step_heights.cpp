// Steps in which the finger's height matters: approach curve, proximity, response time, slow
// approach.
//
// Operating and release distance are found by halving: each look comes from far away (or from the
// surface), so that a resting level that follows has had no time to follow. A look belongs to the
// approach or to the withdrawal by what stood before it; that is the judge's business.
#include <algorithm>
#include <functional>

#include "recipes/language/key_track.hpp"
#include "station/engine/steps.hpp"

namespace padtrim::engine {

namespace {

using namespace std::chrono_literals;

// A product that has just been touched finds back to its resting level. Common practice, no source.
constexpr std::chrono::milliseconds rest = 400ms;
constexpr std::chrono::milliseconds report_limit = 1s;

// Recipes ask for fewer; a plan that asks for more must not fill the memory, nor go on for ever
// where heights cannot be told apart any more.
constexpr std::size_t most_heights = 1001;
constexpr int most_halvings = 32;

struct Search {
    const language::Key& key;
    Millimetre from, interval;
    std::chrono::milliseconds hold;
    Millimetre far;  // where the resting level feels nothing of the finger
};

// The safe height at least: a finger that waits nearby becomes part of the resting level.
Millimetre far_from(const language::Plan& plan, Millimetre from) {
    const language::Finger& finger = *plan.fixture.finger;
    return std::max(from, finger.safe_height - finger.surface_height);
}

Act<bool> look_from(Workstand& at, std::string name, Search search, Millimetre start,
                    Millimetre height, bool wanted) {
    const language::PanelPlace place = touch_place(search.key);
    auto begun = co_await at.finger_at(search.key.name, place, start);
    if (!begun) co_return begun.error();
    co_await at.clock().sleep_for(rest);
    auto before = co_await at.note_within(name, search.key.name, !wanted, search.hold);
    if (!before) co_return before.error();
    auto there = co_await at.finger_at(search.key.name, place, height);
    if (!there) co_return there.error();
    auto felt = co_await at.note_within(name, search.key.name, wanted, search.hold);
    co_return felt;
}

// Halves between a height at which it was `wanted` to be seen and one at which it was not.
Act<void> halve(Workstand& at, std::string name, Search search, Millimetre start, bool wanted) {
    Millimetre seen = wanted ? Millimetre(0.0) : search.from;
    Millimetre unseen = wanted ? search.from : Millimetre(0.0);
    for (int i = 0; i < most_halvings; ++i) {
        if (std::abs((seen - unseen).value()) <= search.interval.value()) break;
        const Millimetre middle = 0.5 * (seen + unseen);
        auto felt = co_await look_from(at, name, search, start, middle, wanted);
        if (!felt) co_return felt.error();
        (*felt == wanted ? seen : unseen) = middle;
    }
    co_return port::Outcome<void>();
}

Act<void> find_distances(Workstand& at, std::string name, Search search) {
    auto felt = co_await look_from(at, name, search, search.far, Millimetre(0.0), true);
    if (!felt) co_return felt.error();
    if (!*felt) co_return port::Outcome<void>();  // nothing to look for: the judge sees it
    auto operate = co_await halve(at, name, search, search.far, true);
    if (!operate) co_return operate.error();
    auto release = co_await halve(at, name, search, Millimetre(0.0), false);
    co_return release;
}

Act<void> curve(Workstand& at, std::string name, const language::Key& key,
                std::vector<Millimetre> heights, unsigned scans) {
    auto frozen = co_await at.test_mode(true);
    if (!frozen) co_return frozen.error();
    for (const Millimetre height : heights) {
        auto there = co_await at.finger_at(key.name, touch_place(key), height);
        if (!there) co_return there.error();
        auto taken = co_await at.take(name, scans, record::Reading::raw);
        if (!taken) co_return taken.error();
    }
    auto away = co_await at.finger_at(key.name, touch_place(key), heights.front());
    if (!away) co_return away.error();
    auto as_sold = co_await at.test_mode(false);
    co_return as_sold;
}

std::vector<Millimetre> falling(Millimetre from, Millimetre interval) {
    std::vector<Millimetre> heights;
    for (Millimetre h = from; h > Millimetre(0.0) && heights.size() < most_heights; h -= interval)
        heights.push_back(h);
    heights.push_back(Millimetre(0.0));
    return heights;
}

using OfKey = std::function<Act<void>(const language::Key&)>;

// Every chosen key in turn, as a user meets the product; the finger is lifted away at the end.
Act<void> each_key(Workstand& at, std::vector<const language::Key*> keys, std::string target,
                   OfKey act) {
    auto as_sold = co_await at.as_a_user_meets_it();
    if (!as_sold) co_return as_sold.error();
    auto turn = co_await at.take_finger();
    if (!turn) co_return turn.error();
    auto ready = co_await at.put_on(std::move(target));
    if (!ready) co_return ready.error();
    const auto of = static_cast<std::uint32_t>(keys.size());
    std::uint32_t done = 0;
    for (const language::Key* key : keys) {
        at.say(key->name, done++, of);
        auto acted = co_await act(*key);
        if (!acted) co_return acted.error();
    }
    at.say("", of, of);
    auto away = co_await at.finger_away();
    co_return away;
}

Act<void> fall(Workstand& at, std::string name, const language::Key& key, Millimetre from,
               MillimetrePerSecond speed) {
    auto above = co_await at.finger_at(key.name, touch_place(key), from);
    if (!above) co_return above.error();
    co_await at.clock().sleep_for(rest);
    Workstand::Way way;
    way.key = key.name;
    way.place = touch_place(key);
    way.speed = speed;
    way.linger = report_limit;
    // Some hundred looks tell as much of a slow way as thousands.
    way.pause = std::chrono::milliseconds(static_cast<int>(2.0 * from.value() / speed.value()));
    auto gone = co_await at.glide(name, std::move(way));
    co_return gone;
}

}  // namespace

Act<void> run_approach(Workstand& at, std::string name, language::ApproachStep step) {
    const OfKey one = [&](const language::Key& key) -> Act<void> {
        std::vector<Millimetre> heights = falling(step.from, step.interval);
        auto taken = co_await curve(at, name, key, std::move(heights), step.scans);
        if (!taken) co_return taken.error();
        const Search search{key, step.from, step.interval, step.hold,
                            far_from(at.plan(), step.from)};
        auto found = co_await find_distances(at, name, search);
        co_return found;
    };
    auto keys = chosen_keys(at.plan().map, step.keys);
    std::string bare;
    auto done = co_await each_key(at, std::move(keys), std::move(bare), one);
    co_return done;
}

Act<void> run_proximity(Workstand& at, std::string name, language::ProximityStep step) {
    const OfKey one = [&](const language::Key& key) -> Act<void> {
        std::vector<Millimetre> heights;
        heights.push_back(step.from);
        heights.push_back(step.height);
        auto taken = co_await curve(at, name, key, std::move(heights), step.scans);
        if (!taken) co_return taken.error();
        const Search search{key, step.from, step.interval, step.hold,
                            far_from(at.plan(), step.from)};
        auto found = co_await find_distances(at, name, search);
        co_return found;
    };
    auto keys = chosen_keys(at.plan().map, step.keys, language::KeyKind::proximity);
    auto done = co_await each_key(at, std::move(keys), step.target, one);
    co_return done;
}

Act<void> run_response(Workstand& at, std::string name, language::ResponseStep step) {
    const OfKey one = [&](const language::Key& key) -> Act<void> {
        for (unsigned i = 0; i < step.repeats; ++i) {
            auto fallen = co_await fall(at, name, key, step.from, step.speed);
            if (!fallen) co_return fallen.error();
        }
        co_return port::Outcome<void>();
    };
    auto keys = chosen_keys(at.plan().map, step.keys);
    std::string bare;
    auto done = co_await each_key(at, std::move(keys), std::move(bare), one);
    co_return done;
}

Act<void> run_slow_approach(Workstand& at, std::string name, language::SlowApproachStep step) {
    const OfKey one = [&](const language::Key& key) {
        return fall(at, name, key, step.from, step.speed);
    };
    auto keys = chosen_keys(at.plan().map, step.keys);
    std::string bare;
    auto done = co_await each_key(at, std::move(keys), std::move(bare), one);
    co_return done;
}

}  // namespace padtrim::engine
