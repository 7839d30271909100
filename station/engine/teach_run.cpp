#include "station/engine/teach_run.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "station/engine/finger_care.hpp"
#include "station/engine/loader.hpp"
#include "station/engine/open_relays.hpp"
#include "station/engine/right_fixture.hpp"
#include "station/engine/workstand.hpp"

namespace padtrim::engine {

using language::Key;
using metrology::CentreSearch;
using metrology::FoundCentre;
using metrology::SearchWish;
using metrology::Spot;
using port::Position;

namespace {

const std::string step_name = "teach";
// Of a change against its standard uncertainty, that a touch is certain. Common practice, no
// source.
constexpr double certain = 5.0;
// The search may begin beside the key by about this.
constexpr Millimetre wrong_by{10.0};

port::Fault refused(const std::string& what) {
    return {port::FaultKind::refused, port::Blame::fixture, "dummy finger", what};
}

struct Counts {
    double mean = 0.0, standard = 0.0;
};

// The sum over the key's channels and all frequencies.
Counts counts_of(const record::Readings& taken, const Key& key, std::size_t frequencies) {
    double sum = 0.0, squares = 0.0;
    const auto scans = static_cast<double>(taken.scans.size());
    for (const auto& scan : taken.scans) {
        double of_scan = 0.0;
        for (const std::uint16_t channel : key.channels)
            for (std::size_t f = 0; f < frequencies; ++f)
                of_scan += scan.counts[channel * frequencies + f];
        sum += of_scan;
        squares += of_scan * of_scan;
    }
    const double mean = sum / scans;
    const double resolution = static_cast<double>(key.channels.size() * frequencies) / 12.0;
    const double variance = std::max(squares / scans - mean * mean, resolution);
    return {mean, std::sqrt(variance / scans)};
}

}  // namespace

struct TeachRun::State {
    State(const Parts& all, const language::Plan& of, TeachWish wanted,
          std::function<void(const TeachLook&)> told)
        : parts(all),
          plan(of),
          wish(wanted),
          looked(std::move(told)),
          nest(*of.fixture.nest(wanted.nest)),
          finger(*of.fixture.finger),
          stand(parts, plan, own_nest(), turns) {}

    [[nodiscard]] const NestParts& own_nest() const {
        return *std::find_if(parts.nests.begin(), parts.nests.end(),
                             [this](const NestParts& each) { return each.number == wish.nest; });
    }
    [[nodiscard]] language::PanelPlace on_panel(const Spot& spot) const {
        return {spot.x - nest.origin_x, spot.y - nest.origin_y};
    }
    [[nodiscard]] SearchWish search_for(const Key& key, const Spot& start) const {
        SearchWish search;
        search.start = start;
        search.step = wish.step;
        search.resolution = wish.resolution;
        search.reach_x = 0.5 * key.width + finger.diameter + wrong_by;
        search.reach_y = 0.5 * key.height + finger.diameter + wrong_by;
        search.highest = {finger.travel_x, finger.travel_y};
        return search;
    }
    [[nodiscard]] Act<Counts> look(const Key& key, Spot spot, Millimetre height);
    [[nodiscard]] Act<FoundCentre> search(const Key& key, Spot start);
    [[nodiscard]] Act<void> load();
    [[nodiscard]] Act<void> right_product();

    const Parts& parts;
    const language::Plan& plan;
    TeachWish wish;
    std::function<void(const TeachLook&)> looked;
    const language::Nest& nest;
    const language::Finger& finger;
    port::Turns turns;
    Workstand stand;
    bool begun = false, given_up = false;
};

TeachRun::TeachRun(const Parts& parts, const language::Plan& plan, TeachWish wish,
                   std::function<void(const TeachLook&)> looked)
    : state_(std::make_unique<State>(parts, plan, wish, std::move(looked))) {}

TeachRun::~TeachRun() = default;

Act<void> TeachRun::State::load() {
    if (!has_handler(nest)) co_return port::Outcome<void>();
    auto present = co_await lies_in(*parts.relays, *nest.present_input);
    if (!present) co_return present.error();
    if (*present) co_return port::Outcome<void>();
    auto loading = co_await load_by_handler(parts, nest);
    if (!loading) co_return loading.error();
    if (!loading->present)
        co_return refused("The handler brought no unit into nest " + std::to_string(nest.number) +
                          ". Lay one in.");
    co_return port::Outcome<void>();
}

Act<void> TeachRun::State::right_product() {
    auto identity = co_await stand.unit().identify();
    if (!identity) co_return identity.error();
    if (identity->product_code == plan.map.product_code_value) co_return port::Outcome<void>();
    co_return refused("The unit in nest " + std::to_string(nest.number) + " (" + identity->serial +
                      ") is another product than the register map's. Lay in one of \"" +
                      plan.map.product + "\".");
}

// Motion is asked for first: without a permit not even the handler moves.
Act<void> TeachRun::begin() {
    State& own = *state_;
    if (own.parts.interlock != nullptr) {
        auto allowed = co_await own.parts.interlock->closed();
        if (!allowed) co_return allowed.error();
    }
    auto fixture = co_await right_fixture(*own.parts.relays, own.plan.fixture);
    if (!fixture) co_return fixture.error();
    own.begun = true;
    // What a killed program left: pins down, the finger low, and a target in front of it.
    auto open = co_await open_all_but_targets(*own.parts.relays, own.plan.fixture);
    if (!open) co_return open.error();
    own.stand.begin();
    auto turn = co_await own.stand.take_finger();
    if (!turn) co_return turn.error();
    auto homed = co_await own.parts.finger->home();
    if (!homed) co_return homed.error();
    auto lifted = co_await own.parts.finger->lift();
    if (!lifted) co_return lifted.error();
    auto all = co_await own.parts.relays->open_all();
    if (!all) co_return all.error();
    auto loaded = co_await own.load();
    if (!loaded) co_return loaded.error();
    auto on = co_await own.stand.power_on();
    if (!on) co_return on.error();
    auto right = co_await own.right_product();
    if (!right) co_return right.error();
    auto frozen = co_await own.stand.test_mode(true);
    co_return frozen;
}

Act<Position> TeachRun::where() {
    auto at = co_await state_->parts.finger->position();
    co_return at;
}

Act<Position> TeachRun::jog(Position by) {
    State& own = *state_;
    auto allowed = co_await own.stand.permitted();
    if (!allowed) co_return allowed.error();
    auto stands = co_await engine::jog(*own.parts.finger, own.finger, by, most_jog);
    co_return stands;
}

Act<Counts> TeachRun::State::look(const Key& key, Spot spot, Millimetre height) {
    auto there = co_await stand.finger_at(key.name, on_panel(spot), height);
    if (!there) co_return there.error();
    auto taken = co_await stand.take(step_name, wish.scans, record::Reading::raw);
    if (!taken) co_return taken.error();
    const Counts counts = counts_of(stand.seen.readings.back(), key, plan.map.frequencies.size());
    stand.seen.readings.clear();
    co_return counts;
}

Act<FoundCentre> TeachRun::State::search(const Key& key, Spot start) {
    const Millimetre far = finger.safe_height - finger.surface_height;
    auto without = co_await look(key, start, far);
    if (!without) co_return without.error();
    SearchWish wanted = search_for(key, start);
    wanted.least = certain * std::sqrt(2.0) * without->standard;
    CentreSearch centre(wanted);
    while (const auto spot = centre.next()) {
        if (given_up) co_return refused("The search for key " + key.name + " was given up.");
        auto with = co_await look(key, *spot, wish.height);
        if (!with) co_return with.error();
        // A finger takes from what crosses between two lines, and adds to a line of its own.
        const double change = std::abs(with->mean - without->mean);
        if (looked)
            looked({key.name, {spot->x, spot->y, finger.surface_height + wish.height}, change});
        centre.note(change);
    }
    auto lifted = co_await parts.finger->lift();
    if (!lifted) co_return lifted.error();
    if (centre.problem().empty()) co_return centre.found();
    co_return refused("Key " + key.name + ": " + centre.problem());
}

Act<FoundCentre> TeachRun::find(std::string name, std::optional<Spot> start) {
    State& own = *state_;
    const auto& keys = own.plan.map.keys;
    const auto key =
        std::find_if(keys.begin(), keys.end(), [&](const Key& each) { return each.name == name; });
    if (key == keys.end()) co_return refused("The register map has no key \"" + name + "\".");
    if (key->kind == language::KeyKind::wheel)
        co_return refused("Key " + name +
                          " is a wheel, whose counts have a ring of edges. Teach another key.");
    if (own.given_up) co_return refused("The session ends; nothing is searched any more.");
    auto stands = co_await own.stand.still_stands();
    if (!stands) co_return stands.error();
    const Spot from = start.value_or(Spot{own.nest.origin_x + key->x, own.nest.origin_y + key->y});
    auto found = co_await own.search(*key, from);
    co_return found;
}

void TeachRun::give_up() {
    state_->given_up = true;
}

Act<void> TeachRun::home() {
    auto ready = co_await home_if_lost(*state_->parts.finger);
    co_return ready;
}

// The coils of another fixture are not switched: they do something else there.
Act<void> TeachRun::end() {
    if (!state_->begun) co_return port::Outcome<void>();
    auto safe = co_await state_->stand.make_safe();
    co_return safe;
}

}  // namespace padtrim::engine
