#include "station/answers/trace_answer.hpp"

#include <algorithm>
#include <map>
#include <set>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "recipes/language/load.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/readiness.hpp"

namespace padtrim::answers {
namespace {

using TraceObject = boost::json::object;
using language::FixtureProfile;

constexpr std::size_t trace_checks = 10000;

std::optional<record::ShiftCheck> check_before(const std::vector<record::ShiftCheck>& newest_first,
                                               const ledger::RunSummary& run) {
    for (const auto& check : newest_first)
        if (check.at <= run.started && check.fixture == run.fixture) return check;
    return std::nullopt;
}

template <class Decision>
std::optional<Decision> with_id(const std::vector<Decision>& all, std::int64_t id) {
    for (const auto& each : all)
        if (each.id == id) return each;
    return std::nullopt;
}

// Facts of one run, in the order a person asks.
class Facts {
  public:
    explicit Facts(Table& table) : table_(table) {}
    void begin(const ledger::RunSummary& run) { run_ = std::to_string(run.run); }
    void add(const char* what, const std::string& value) {
        if (!blank(value)) table_.rows.push_back({run_, what, printable(value, 400)});
    }

  private:
    Table& table_;
    std::string run_;
};

std::string right_of(const ledger::RunSummary& run, const RunOrigin& origin) {
    if (origin.release)
        return fmt::format("release {} by {}: {}", origin.release->id, origin.release->who,
                           origin.release->why);
    if (origin.permit)
        return fmt::format("permit {} '{}' by {}: {}", origin.permit->id, origin.permit->name,
                           origin.permit->who, origin.permit->why);
    return std::string(record::name_of(run.permission.kind));
}

void add_plan(Facts& facts, const language::PlanPtr& plan) {
    if (!plan) return;
    const auto& equipment = plan->fixture.equipment;
    facts.add("references", equipment.certificate + ", characterised " +
                                equipment.characterised_on + ", due " +
                                equipment.recalibration_due);
}

void add_observed(Facts& facts, const record::Observations& seen) {
    if (seen.identity) facts.add("firmware", seen.identity->firmware);
    if (!seen.climate.empty())
        facts.add("air",
                  fmt::format("{:.1f} degC, {:.0f} %", seen.climate.front().temperature.value(),
                              seen.climate.front().humidity.value()));
    std::string steps;
    for (const auto& step : seen.steps_done) steps += (steps.empty() ? "" : ", ") + step;
    facts.add("steps done", steps);
    for (const auto& fault : seen.faults)
        facts.add("fault", fault.step + ": " + fault.device + ": " + fault.what);
}

void add_run(Facts& facts, const HistoryRun& run, const RunOrigin& origin) {
    const auto& about = run.stored.summary;
    facts.begin(about);
    facts.add("lot", about.lot_name + (about.measure_only ? ", only measured" : ""));
    facts.add("station", about.station + ", nest " + std::to_string(about.nest));
    facts.add("began", iso_8601(about.started));
    facts.add("attempt", std::to_string(about.attempt));
    facts.add("recipe", about.recipe + " " + about.recipe_revision);
    facts.add("plan", about.plan_hash);
    facts.add("let in by", right_of(about, origin));
    facts.add("fixture", about.fixture);
    add_plan(facts, run.plan);
    facts.add("shift check before",
              origin.check
                  ? fmt::format("{} at {}, {}", origin.check->id, iso_8601(origin.check->at),
                                record::name_of(origin.check->decision))
                  : std::string("none"));
    if (run.stored.observations) add_observed(facts, *run.stored.observations);
    facts.add("write-back", std::string(record::name_of(about.write_stage)));
    facts.add("verdict", std::string(record::name_of(about.verdict)) + ": " + about.reason);
    for (const auto& change : run.stored.dispositions)
        facts.add("disposition",
                  fmt::format("{} by {} at {}: {}", record::name_of(change.disposition), change.who,
                              iso_8601(change.at), change.reason));
}

// A plan's text is long, and runs share plans.
class Plans {
  public:
    const FixtureProfile* fixture_of(const ledger::StoredRun& run) {
        auto& plan = plans_[run.summary.plan_hash];
        if (!plan) plan = language::read_plan(run.plan_text).plan;
        return plan ? &plan->fixture : nullptr;
    }

  private:
    std::map<std::string, language::PlanPtr> plans_;
};

bool did_step(const record::Observations& seen, const std::string& step) {
    if (std::find(seen.steps_done.begin(), seen.steps_done.end(), step) != seen.steps_done.end())
        return true;
    return std::any_of(seen.readings.begin(), seen.readings.end(),
                       [&](const auto& readings) { return readings.step == step; });
}

bool touched(const ledger::StoredRun& run, const TouchedWish& wish, Plans& plans) {
    if (!run.observations) return false;
    if (wish.of.step && !did_step(*run.observations, *wish.of.step)) return false;
    if (!wish.relay) return true;
    const auto* fixture = plans.fixture_of(run);
    return fixture != nullptr && relay_worked(*fixture, *run.observations, *wish.relay);
}

bool switched_in(const record::Observations& seen, const language::CharacterisedStep& step) {
    return std::any_of(seen.readings.begin(), seen.readings.end(), [&](const auto& readings) {
        const auto& held = readings.situation;
        const auto& channels = held.channels;
        return held.reference == step.reference &&
               (channels.empty() ||
                std::find(channels.begin(), channels.end(), step.channel) != channels.end());
    });
}

}  // namespace

bool relay_worked(const FixtureProfile& fixture, const record::Observations& observations,
                  std::uint16_t coil) {
    const std::size_t place = observations.nest - 1u;
    if (place < fixture.nests.size()) {
        const auto& nest = fixture.nests[place];
        if (nest.connect_coil == coil || nest.supply_coil == coil || nest.select_coil == coil ||
            nest.advance_coil == coil)
            return true;
    }
    return std::any_of(fixture.equipment.steps.begin(), fixture.equipment.steps.end(),
                       [&](const language::CharacterisedStep& step) {
                           return step.nest == observations.nest && step.coil == coil &&
                                  switched_in(observations, step);
                       });
}

journal::Stored<UnitTrace> unit_trace(ledger::Reader& reader, const std::string& serial) {
    UnitTrace trace;
    auto history = unit_history(reader, serial);
    if (!history) return history.error();
    trace.history = std::move(*history);
    const auto releases = reader.releases();
    if (!releases) return releases.error();
    const auto permits = reader.permits();
    if (!permits) return permits.error();
    for (const auto& run : trace.history.runs) {
        const auto& about = run.stored.summary;
        const auto checks = reader.shift_checks(about.station, about.fixture, trace_checks);
        if (!checks) return checks.error();
        RunOrigin origin;
        origin.check = check_before(*checks, about);
        if (about.permission.kind == record::PermissionKind::released)
            origin.release = with_id(*releases, about.permission.id);
        if (about.permission.kind == record::PermissionKind::permit)
            origin.permit = with_id(*permits, about.permission.id);
        trace.origins.push_back(std::move(origin));
    }
    return trace;
}

Sheet sheet_of(const UnitTrace& trace) {
    Sheet sheet;
    sheet.title = "Unit " + printable(trace.history.serial, 64);
    if (trace.history.runs.empty()) {
        sheet.sentences.emplace_back("The records do not know this unit. Check the serial.");
        return sheet;
    }
    sheet.sentences.push_back(counted(trace.history.runs.size(), "run") + ", oldest first.");
    Table table{"", {{"run", "", true}, {"what", "", false}, {"", "", false}}, {}};
    Facts facts(table);
    for (std::size_t i = 0; i < trace.history.runs.size(); ++i)
        add_run(facts, trace.history.runs[i], trace.origins[i]);
    sheet.tables.push_back(std::move(table));
    return sheet;
}

Json to_json(const UnitTrace& trace) {
    boost::json::array origins;
    for (const auto& origin : trace.origins)
        origins.push_back(
            TraceObject{{"release", origin.release ? Json(origin.release->id) : Json(nullptr)},
                        {"permit", origin.permit ? Json(origin.permit->id) : Json(nullptr)},
                        {"shift_check", origin.check ? to_json(*origin.check) : Json(nullptr)}});
    return TraceObject{{"unit", to_json(trace.history)}, {"origins", std::move(origins)}};
}

journal::Stored<TouchedUnits> touched_units(ledger::Reader& reader, const TouchedWish& wish) {
    ValueWish every = values_of(wish.of, record::Stage::as_found);
    every.tries = WhichTries::every;
    auto runs = wished_runs(reader, every);
    if (!runs) return runs.error();
    TouchedUnits touched_by;
    Plans plans;
    for (auto& run : *runs) {
        if (wish.of.fixture && run.fixture != *wish.of.fixture) continue;
        if (wish.of.step || wish.relay) {
            const auto stored = reader.stored_run(run.run);
            if (!stored) return stored.error();
            if (!*stored || !touched(**stored, wish, plans)) continue;
        }
        touched_by.runs.push_back(std::move(run));
    }
    // A unit may come in several lots: its serial tells, or the label that stood for one.
    std::set<std::string> units;
    for (const auto& run : touched_by.runs)
        units.insert(!run.serial.empty()  ? "serial " + run.serial
                     : !run.label.empty() ? "label " + run.label
                                          : std::to_string(run.unit));
    touched_by.units = units.size();
    return touched_by;
}

Table runs_table(const std::vector<ledger::RunSummary>& runs) {
    Table table{"",
                {{"unit", "", false},
                 {"lot", "", false},
                 {"station", "", false},
                 {"nest", "", true},
                 {"attempt", "", true},
                 {"began", "", false},
                 {"verdict", "", false},
                 {"disposition", "", false},
                 {"recipe", "", false},
                 {"revision", "", false},
                 {"fixture", "", false},
                 {"run", "", true}},
                {}};
    for (const auto& run : runs)
        table.rows.push_back({run.serial.empty() ? run.label : run.serial, run.lot_name,
                              run.station, count_cell(run.nest), count_cell(run.attempt),
                              iso_8601(run.started), std::string(record::name_of(run.verdict)),
                              std::string(record::name_of(run.disposition)), run.recipe,
                              run.recipe_revision, run.fixture,
                              count_cell(static_cast<std::uint64_t>(run.run))});
    return table;
}

Json to_json(const TouchedUnits& touched_by) {
    boost::json::array runs;
    for (const auto& run : touched_by.runs)
        runs.push_back(TraceObject{{"run", run.run},
                                   {"serial", text(run.serial)},
                                   {"label", text(run.label)},
                                   {"lot", text(run.lot_name)},
                                   {"station", text(run.station)},
                                   {"nest", run.nest},
                                   {"attempt", run.attempt},
                                   {"began", iso_8601(run.started)},
                                   {"verdict", record::name_of(run.verdict)},
                                   {"disposition", record::name_of(run.disposition)},
                                   {"recipe", text(run.recipe)},
                                   {"recipe_revision", text(run.recipe_revision)},
                                   {"fixture", text(run.fixture)}});
    return TraceObject{{"units", touched_by.units}, {"runs", std::move(runs)}};
}

Sheet sheet_of(const TouchedUnits& touched_by) {
    Sheet sheet;
    sheet.title = "Units that this touched";
    sheet.sentences.push_back(counted(touched_by.units, "unit") + " in " +
                              counted(touched_by.runs.size(), "run") + ".");
    sheet.tables.push_back(runs_table(touched_by.runs));
    return sheet;
}

}  // namespace padtrim::answers
