// One lot under the virtual clock: the plain station, a journal in memory and what was told.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include <boost/asio/io_context.hpp>

#include "fixtures/bench/virtual_clock.hpp"
#include "station/engine/lot_run.hpp"
#include "tests/support/demo_documents.hpp"
#include "tests/support/memory_journal.hpp"
#include "tests/support/plain_station.hpp"
#include "tests/support/stopping_journal.hpp"

namespace padtrim::engine::testing {

class FixedWallClock final : public port::WallClock {
  public:
    [[nodiscard]] port::WallTime now() const override { return time; }
    port::WallTime time{std::chrono::milliseconds(1'767'225'600'000)};
};

template <class T>
[[nodiscard]] T& body_of(language::Plan& plan) {
    for (language::Step& step : plan.recipe.steps)
        if (T* body = std::get_if<T>(&step.body)) return *body;
    throw std::logic_error("the plan has no such step");
}

// The demo plan cut down to three channels, one frequency and few scans, so that thousands of runs
// are quick.
[[nodiscard]] inline language::Plan quick_plan(const test_support::DemoFixture& fixture = {}) {
    language::Plan plan = *test_support::demo_plan(fixture);
    constexpr std::uint16_t channels = 3;
    plan.map.channels = channels;
    plan.map.frequencies.resize(1);
    plan.map.keys.resize(channels);
    for (language::Key& key : plan.map.keys)
        std::erase_if(key.neighbours, [](const std::string& name) { return name > "key 3"; });
    std::erase_if(plan.fixture.equipment.steps, [](auto& s) { return s.channel >= channels; });
    std::erase_if(plan.fixture.equipment.fixture_parts,
                  [](auto& part) { return part.channel >= channels; });
    body_of<language::GainOffsetStep>(plan).scans = 4;
    body_of<language::NoiseStep>(plan).scans = 24;
    body_of<language::TouchStep>(plan).keys = {"key 1", "key 3"};
    body_of<language::TouchStep>(plan).signal_to_noise = {};  // too few scans to tell
    body_of<language::VerifyStep>(plan).scans = 4;
    return plan;
}

class Rig {
  public:
    explicit Rig(language::Plan chosen = quick_plan())
        : plan(std::make_shared<const language::Plan>(std::move(chosen))), station(clock, plan) {
        options.lot = "L1";
        options.station = "S1";
        options.operator_name = "O";
    }

    [[nodiscard]] Parts parts() {
        Parts all;
        all.clock = &clock;
        all.wall_clock = &wall_clock;
        all.relays = &station.relays();
        all.interlock = &station.interlock();
        all.finger = &station.finger();
        all.environment = &station.environment();
        for (const language::Nest& nest : plan->fixture.nests)
            all.nests.push_back({nest.number, &station.panel(nest.number)});
        all.journal = &stopping;
        all.log = [this](LogLevel, const std::string& line) { log.push_back(line); };
        return all;
    }

    // Runs a lot to its end; hooks may act on the run.
    LotOutcome run() {
        events.clear();
        if (lot) earlier.push_back(std::move(lot));
        lot = std::make_unique<LotRun>(
            parts(), plan, options,
            [this](const Event& event) {
                events.push_back(event);
                if (on_event) on_event(event);
            },
            ask, point);
        return clock.run(lot->run());
    }

    template <class T>
    [[nodiscard]] std::vector<T> told() const {
        std::vector<T> found;
        for (const Event& event : events)
            if (const T* one = std::get_if<T>(&event)) found.push_back(*one);
        return found;
    }
    [[nodiscard]] const support::MemoryJournal::Run* last_run(const std::string& serial) const {
        const support::MemoryJournal::Run* found = nullptr;
        for (const auto& run : journal.runs)
            if (run.start.serial == serial) found = &run;
        return found;
    }

    // Outlive the io_context, which may hold coroutines of a run that was stopped dead.
    std::vector<std::unique_ptr<LotRun>> earlier;
    std::unique_ptr<LotRun> lot;
    boost::asio::io_context context;
    bench::VirtualClock clock{context};
    FixedWallClock wall_clock;
    language::PlanPtr plan;
    test_support::PlainStation station;
    support::MemoryJournal journal;
    support::StoppingJournal stopping{journal};
    LotOptions options;
    AskForUnit ask;
    WriteBackPoint point;
    std::function<void(const Event&)> on_event;
    std::vector<Event> events;
    std::vector<std::string> log;
};

}  // namespace padtrim::engine::testing
