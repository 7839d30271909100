// A lot on the virtual bench under virtual time: the real drivers over in-process links, so that
// everything between the recipe and the bytes is what production runs.
#pragma once

#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include <boost/asio/io_context.hpp>

#include "fixtures/bench/virtual_bench.hpp"
#include "fixtures/drivers/fixture.hpp"
#include "station/engine/lot_run.hpp"
#include "tests/station/engine/rig.hpp"
#include "tests/support/memory_journal.hpp"

namespace padtrim::engine::testing {

class BenchRig {
  public:
    // Map and fixture of the options are those of the plan.
    BenchRig(language::PlanPtr chosen, bench::BenchOptions how)
        : plan(std::move(chosen)), bench(clock, with_plan(std::move(how), *plan)) {
        options.lot = "L1";
        options.station = "S1";
        const auto open = [this](const language::PortName& port) { return bench.link(port); };
        auto opened = drivers::Fixture::open(
            *plan, clock, open,
            [this](drivers::LogLevel, const std::string& line) { log.push_back(line); });
        if (!opened) throw std::runtime_error(opened.error().what);
        fixture = std::move(*opened);
    }

    [[nodiscard]] Parts parts() {
        Parts all;
        all.clock = &clock;
        all.wall_clock = &wall_clock;
        all.relays = &fixture->relays();
        all.interlock = fixture->interlock();
        all.finger = fixture->finger();
        all.environment = fixture->environment();
        for (const language::Nest& nest : plan->fixture.nests)
            all.nests.push_back({nest.number, &fixture->unit(nest.number)});
        all.journal = &journal;
        all.person = person;
        all.log = [this](LogLevel, const std::string& line) { log.push_back(line); };
        return all;
    }

    LotOutcome run() {
        events.clear();
        lot = std::make_unique<LotRun>(
            parts(), plan, options,
            [this](const Event& event) {
                events.push_back(event);
                if (on_event) on_event(event);
            },
            ask, point);
        return clock.run(lot->run());
    }

    [[nodiscard]] const support::MemoryJournal::Run* last_run(const std::string& serial) const {
        const support::MemoryJournal::Run* found = nullptr;
        for (const auto& run : journal.runs)
            if (run.start.serial == serial) found = &run;
        return found;
    }
    [[nodiscard]] const support::MemoryJournal::Run* last_run(std::uint32_t index) const {
        return last_run(bench.units().at(index - 1)->truth().serial);
    }
    [[nodiscard]] double seconds() const {
        return std::chrono::duration<double>(clock.now().time_since_epoch()).count();
    }

  private:
    static bench::BenchOptions with_plan(bench::BenchOptions options, const language::Plan& plan) {
        options.map = plan.map;
        options.fixture = plan.fixture;
        return options;
    }

  public:
    std::unique_ptr<LotRun> lot;
    boost::asio::io_context context;
    bench::VirtualClock clock{context};
    FixedWallClock wall_clock;
    language::PlanPtr plan;
    bench::VirtualBench bench;
    std::unique_ptr<drivers::Fixture> fixture;
    support::MemoryJournal journal;
    LotOptions options;
    WriteBackPoint point;
    AskForUnit ask;
    Person* person = nullptr;
    std::function<void(const Event&)> on_event;
    std::vector<Event> events;
    std::vector<std::string> log;
};

}  // namespace padtrim::engine::testing
