#include "station/engine/reference_run.hpp"

#include <utility>

#include "station/engine/open_relays.hpp"
#include "station/engine/right_fixture.hpp"

namespace padtrim::engine {

using language::FixtureProfile;
using language::Nest;
using metrology::Impedance;
using metrology::TipReadings;

namespace {

using Readings = std::vector<TipReadings>;

Act<void> turn(const ReferenceRun& run, std::uint16_t coil, bool closed) {
    const std::vector<port::CoilState> one{{coil, closed}};
    co_return co_await run.relays->set(one);
}

Act<void> permitted(const ReferenceRun& run) {
    if (run.interlock == nullptr) co_return port::Outcome<void>();
    auto closed = co_await run.interlock->closed();
    co_return closed;
}

Act<Impedance> read(const ReferenceRun& run) {
    auto reading = co_await run.meter->read();
    if (!reading) co_return reading.error();
    co_return Impedance(reading->resistance.value(), reading->reactance.value());
}

// With one coil closed while it lasts; a fault leaves it to the safe state.
Act<Impedance> read_with(const ReferenceRun& run, std::uint16_t coil) {
    auto closed = co_await turn(run, coil, true);
    if (!closed) co_return closed.error();
    auto reading = co_await read(run);
    if (!reading) co_return reading.error();
    auto opened = co_await turn(run, coil, false);
    if (!opened) co_return opened.error();
    co_return *reading;
}

Act<void> read_steps(const ReferenceRun& run, TipReadings& tip) {
    for (const language::CharacterisedStep& step : run.profile->equipment.steps) {
        if (step.nest != tip.nest || step.channel != tip.channel) continue;
        metrology::ReferenceReadings readings{step.reference, {}};
        for (unsigned repeat = 0; repeat < run.repeats; ++repeat) {
            auto before = co_await read(run);
            if (!before) co_return before.error();
            auto closed = co_await read_with(run, step.coil);
            if (!closed) co_return closed.error();
            auto after = co_await read(run);
            if (!after) co_return after.error();
            readings.repeats.push_back({*before, *closed, *after});
        }
        tip.references.push_back(std::move(readings));
    }
    co_return port::Outcome<void>();
}

Act<void> read_retracted(const ReferenceRun& run, TipReadings& tip, std::uint16_t coil) {
    for (unsigned repeat = 0; repeat < run.repeats; ++repeat) {
        auto reading = co_await read_with(run, coil);
        if (!reading) co_return reading.error();
        tip.retracted.push_back(*reading);
    }
    co_return port::Outcome<void>();
}

// The tips of one nest with both standards read and the pins still off.
Act<Readings> prepare(const ReferenceRun& run, std::size_t place) {
    const language::TipMeter& meter = *run.profile->meter;
    auto open = co_await read_with(run, meter.open_coil);
    if (!open) co_return open.error();
    auto shorted = co_await read_with(run, meter.short_coil);
    if (!shorted) co_return shorted.error();
    Readings tips;
    for (std::uint32_t channel = 0; channel < run.profile->equipment.channels(); ++channel) {
        TipReadings tip;
        tip.nest = run.profile->nests[place].number;
        tip.channel = static_cast<std::uint16_t>(channel);
        tip.open = *open;
        tip.shorted = *shorted;
        auto retracted = co_await read_retracted(
            run, tip, static_cast<std::uint16_t>(meter.tip_coil(place, tip.channel)));
        if (!retracted) co_return retracted.error();
        tips.push_back(std::move(tip));
    }
    co_return tips;
}

Act<Readings> read_nest(const ReferenceRun& run, std::size_t place) {
    const Nest& nest = run.profile->nests[place];
    auto tips = co_await prepare(run, place);
    if (!tips) co_return tips.error();
    auto safe = co_await permitted(run);
    if (!safe) co_return safe.error();
    auto pressed = co_await turn(run, nest.connect_coil, true);
    if (!pressed) co_return pressed.error();
    const std::size_t all = run.profile->nests.size() * tips->size();
    for (TipReadings& tip : *tips) {
        if (run.progress) run.progress(place * tips->size() + tip.channel, all);
        auto shut = co_await permitted(run);
        if (!shut) co_return shut.error();
        const auto coil =
            static_cast<std::uint16_t>(run.profile->meter->tip_coil(place, tip.channel));
        auto on = co_await turn(run, coil, true);
        if (!on) co_return on.error();
        auto steps = co_await read_steps(run, tip);
        if (!steps) co_return steps.error();
        auto off = co_await turn(run, coil, false);
        if (!off) co_return off.error();
    }
    auto released = co_await turn(run, nest.connect_coil, false);
    if (!released) co_return released.error();
    co_return std::move(*tips);
}

Act<Readings> read_nests(const ReferenceRun& run) {
    Readings all;
    for (std::size_t place = 0; place < run.profile->nests.size(); ++place) {
        auto tips = co_await read_nest(run, place);
        if (!tips) co_return tips.error();
        for (TipReadings& tip : *tips) all.push_back(std::move(tip));
    }
    co_return all;
}

}  // namespace

Act<Readings> read_tips(ReferenceRun run) {
    if (run.interlock != nullptr) run.interlock->reset();
    auto right = co_await right_fixture(*run.relays, *run.profile);
    if (!right) co_return right.error();
    auto open = co_await open_all_but_targets(*run.relays, *run.profile);
    if (!open) co_return open.error();
    auto all = co_await read_nests(run);
    auto safe = co_await open_all_but_targets(*run.relays, *run.profile);
    if (all && !safe) co_return safe.error();
    co_return all;
}

}  // namespace padtrim::engine
