// A lot of the shipped hob panel on the virtual bench, stored in a ledger file by the engine
// itself.
#pragma once

#include <memory>
#include <stdexcept>
#include <string>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "recipes/language/load.hpp"
#include "tests/station/engine/bench_rig.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::test_support {

inline const std::string hob_recipe =
    std::string(PADTRIM_SOURCE_DIR) + "/recipes/examples/hob-panel-8.toml";

inline language::PlanPtr hob_plan() {
    const std::string root = PADTRIM_SOURCE_DIR;
    const auto loaded = language::load_plan({hob_recipe, root + "/fixtures/units/hob-panel-8.toml",
                                             root + "/fixtures/profiles/hob-line-4-nests.toml"});
    if (!loaded.plan) throw std::runtime_error(document::text_of(loaded.diagnostics));
    return loaded.plan;
}

class BenchLedger {
  public:
    explicit BenchLedger(language::PlanPtr plan = hob_plan()) : plan_(std::move(plan)) {}

    // Runs a lot to its end; each lot of a ledger has a name of its own.
    void run(const std::string& lot, bench::BenchOptions options, bool measure_only = false) {
        engine::testing::BenchRig rig(plan_, std::move(options));
        auto ledger = std::move(
            ledger::Ledger::open(file(), rig.context.get_executor(), ledger::Writing::inline_calls)
                .value());
        engine::Parts parts = rig.parts();
        parts.journal = ledger.get();
        rig.options.lot = lot;
        rig.options.measure_only = measure_only;
        engine::LotRun run(
            std::move(parts), plan_, rig.options, [](const engine::Event&) {}, engine::AskForUnit{},
            engine::WriteBackPoint{});
        const engine::LotOutcome outcome = rig.clock.run(run.run());
        if (outcome.station_fault) throw std::runtime_error(outcome.reason);
    }
    [[nodiscard]] std::string file() const { return folder_.file("lots.sqlite"); }
    [[nodiscard]] std::unique_ptr<ledger::Reader> reader() const {
        return std::move(ledger::Reader::open(file()).value());
    }
    [[nodiscard]] const language::Plan& plan() const { return *plan_; }

  private:
    language::PlanPtr plan_;
    support::TemporaryFolder folder_;
};

}  // namespace padtrim::test_support
