#include "station/answers/unit_history.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/stored_plans.hpp"

namespace padtrim::answers {
namespace {

using Array = boost::json::array;
using Object = boost::json::object;

Json registers_json(const record::TrimsRead& trims) {
    return Object{{"gain", Array(trims.gain.begin(), trims.gain.end())},
                  {"offset", Array(trims.offset.begin(), trims.offset.end())}};
}

// Register values as the unit held them at each moment that was read.
Array trims_json(const ledger::StoredRun& run) {
    Array list;
    if (!run.observations) return list;
    constexpr std::string_view moments[] = {"as found", "written", "read back", "after power off"};
    for (const auto& trims : run.observations->trims) {
        Json json = registers_json(trims);
        json.as_object()["moment"] = text(moments[static_cast<std::size_t>(trims.moment)]);
        list.push_back(std::move(json));
    }
    return list;
}

}  // namespace

journal::Stored<UnitHistory> unit_history(ledger::Reader& reader, const std::string& serial) {
    const auto runs = reader.runs_of(serial);
    if (!runs) return runs.error();
    UnitHistory history{serial, {}};
    for (const auto& summary : runs.value()) {
        auto run = reader.stored_run(summary.run);
        if (!run) return run.error();
        if (!run.value()) continue;
        auto plan = stored_plan(reader, summary.plan_hash);
        if (!plan) return plan.error();
        history.runs.push_back({std::move(*run.value()), std::move(*plan)});
    }
    return history;
}

Json to_json(const ledger::DispositionChange& change) {
    return Object{{"disposition", text(record::name_of(change.disposition))},
                  {"who", text(change.who)},
                  {"reason", text(change.reason)},
                  {"at", iso_8601(change.at)}};
}

Json to_json(const ledger::StoredRun& run) {
    const auto& about = run.summary;
    Array stages, dispositions;
    for (const auto stage : run.stages) stages.push_back(text(record::name_of(stage)));
    for (const auto& change : run.dispositions) dispositions.push_back(to_json(change));
    const Json intended = run.intent ? registers_json(run.intent->to_write) : Json(nullptr);
    return Object{{"run", about.run},
                  {"lot", about.lot_name},
                  {"station", about.station},
                  {"measure_only", about.measure_only},
                  {"permission", to_json(about.permission)},
                  {"recipe", about.recipe},
                  {"recipe_revision", about.recipe_revision},
                  {"product", about.product},
                  {"fixture", about.fixture},
                  {"plan_hash", about.plan_hash},
                  {"nest", about.nest},
                  {"serial", about.serial},
                  {"label", about.label},
                  {"attempt", about.attempt},
                  {"started", iso_8601(about.started)},
                  {"ended", about.ended ? Json(text(iso_8601(*about.ended))) : Json(nullptr)},
                  {"settled", about.settled},
                  {"verdict", text(record::name_of(about.verdict))},
                  {"disposition", text(record::name_of(about.disposition))},
                  {"write_stage", text(record::name_of(about.write_stage))},
                  {"write_stages", std::move(stages)},
                  {"reason", about.reason},
                  {"next_step", about.next_step},
                  {"trims", trims_json(run)},
                  {"trims_intended", intended},
                  {"dispositions", std::move(dispositions)},
                  {"mark", text(name_of(mark_of(about.verdict, about.disposition)))},
                  {"keys", to_json(worst_margins(run.result.checks))},
                  {"result", to_json(run.result)}};
}

Json to_json(const UnitHistory& history) {
    Array runs;
    for (const auto& run : history.runs) runs.push_back(to_json(run.stored));
    return Object{{"serial", history.serial}, {"runs", std::move(runs)}};
}

}  // namespace padtrim::answers
