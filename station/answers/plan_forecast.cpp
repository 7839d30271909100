#include "station/answers/plan_forecast.hpp"

#include <algorithm>
#include <map>
#include <optional>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "recipes/language/step_declarations.hpp"
#include "recipes/language/words.hpp"
#include "recipes/quantity/settling.hpp"
#include "station/metrology/flow.hpp"

namespace padtrim::answers {
namespace {

using boost::json::object;

constexpr double ms_per_hour = 3.6e6;

std::string condition_of(const language::Step& step) {
    if (!step.only_if) return {};
    return "only if " + step.only_if->step + " was " +
           std::string(language::word_of(step.only_if->was));
}

StepForecast forecast_of(const language::Step& step, const engine::Duration& time) {
    StepForecast of_step;
    of_step.step = step.name;
    of_step.kind = language::declaration_of(step.body).name;
    of_step.condition = condition_of(step);
    of_step.retries = step.retries;
    of_step.time = time;
    return of_step;
}

// While the finger is over one nest the others wait for it; it scans there, too.
engine::Span finger_held(const engine::Duration& step) {
    return step.of(engine::Work::finger) > engine::Span(0.0) ? step.expected : engine::Span(0.0);
}

// Units an hour that the nests' ports let through: units on one port talk one after the other.
double by_ports(const language::Plan& plan, const engine::Duration& unit) {
    std::map<std::string, double> nests_of;
    for (const auto& nest : plan.fixture.nests) nests_of[nest.port.path] += 1.0;
    const double talk = unit.of(engine::Work::talk).count();
    double sum = 0.0;
    for (const auto& [port, nests] : nests_of)
        sum += ms_per_hour / std::max(unit.expected.count() / nests, talk);
    return sum;
}

// Which steps a unit goes through that passes each of them.
std::vector<bool> done_when_passing(const language::Recipe& recipe) {
    std::vector<bool> done;
    metrology::StepEnds ends;
    while (ends.size() < recipe.steps.size()) {
        done.push_back(metrology::applies(recipe, ends));
        ends.push_back(done.back() ? std::optional(record::Verdict::pass) : std::nullopt);
    }
    return done;
}

Picofarad largest_load(const language::EquipmentRecord& equipment) {
    Picofarad largest;
    for (const auto& step : equipment.steps) {
        const auto* own = equipment.fixture_part(step.nest, step.channel);
        largest = std::max(largest, step.value + (own != nullptr ? own->value : Picofarad()));
    }
    return largest;
}

std::vector<Charging> charging_of(const language::Plan& plan) {
    std::vector<Charging> all;
    const Picofarad load = largest_load(plan.fixture.equipment);
    for (const Kilohertz drive : plan.map.frequencies) {
        const auto settling = metrology::settling_of(plan.fixture.series_resistor, load, drive,
                                                     largest_unsettled_part);
        if (settling) all.push_back({drive, load, *settling});
    }
    return all;
}

object json_of(const Charging& one) {
    return {{"drive_kHz", number(one.drive.value())},
            {"load_pF", number(one.load.value())},
            {"missing", number(one.settling.missing)},
            {"error_pF", number(one.settling.error.value())},
            {"highest_drive_kHz", number(one.settling.highest_frequency.value())},
            {"largest_load_pF", number(one.settling.largest_load.value())}};
}

object json_of(const engine::Duration& time) {
    object spent;
    for (std::size_t i = 0; i < engine::kinds_of_work; ++i)
        spent[engine::name_of(static_cast<engine::Work>(i))] = number(time.spent[i].count());
    return {{"expected_ms", number(time.expected.count())},
            {"floor_ms", number(time.floor.count())},
            {"spent_ms", std::move(spent)}};
}

}  // namespace

PlanForecast forecast(const language::Plan& plan) {
    const auto unit = engine::estimate(plan);
    PlanForecast all;
    all.recipe = plan.recipe.name;
    all.revision = plan.recipe.revision;
    all.product = plan.map.product;
    all.fixture = plan.fixture.fixture;
    all.hash = plan.hash;
    all.nests = plan.fixture.nests.size();
    all.series_resistor = plan.fixture.series_resistor;
    all.charging = charging_of(plan);
    all.whole = unit.start;
    StepForecast start;
    start.step = "start";
    start.time = unit.start;
    all.steps.push_back(std::move(start));
    const auto done = done_when_passing(plan.recipe);
    for (std::size_t i = 0; i < unit.steps.size(); ++i) {
        all.steps.push_back(forecast_of(plan.recipe.steps[i], unit.steps[i].time));
        all.steps.back().counted = done[i];
        if (done[i]) all.whole += unit.steps[i].time;
    }
    engine::Span begins{0.0}, finger{0.0};
    for (auto& step : all.steps) {
        step.begins = begins;
        if (!step.counted) continue;
        step.share = step.time.expected / all.whole.expected;
        begins += step.time.expected;
        finger += finger_held(step.time);
    }
    const double by_nests =
        static_cast<double>(all.nests) * ms_per_hour / all.whole.expected.count();
    const double by_finger = finger.count() > 0.0 ? ms_per_hour / finger.count() : by_nests;
    const double by_port = by_ports(plan, all.whole);
    all.units_per_hour = std::min({by_nests, by_finger, by_port});
    if (by_finger < by_nests && by_finger <= by_port)
        all.limited_by = "finger";
    else if (by_port < by_nests * (1.0 - 1e-9))
        all.limited_by = "port";
    return all;
}

Json to_json(const PlanForecast& forecast) {
    boost::json::array steps;
    for (const auto& step : forecast.steps) {
        object one{{"step", text(step.step)},         {"do", text(step.kind)},
                   {"only_if", text(step.condition)}, {"counted", step.counted},
                   {"retries", step.retries},         {"begins_ms", number(step.begins.count())},
                   {"share", number(step.share)}};
        for (auto& member : json_of(step.time)) one[member.key()] = member.value();
        steps.push_back(std::move(one));
    }
    boost::json::array charging;
    for (const auto& one : forecast.charging) charging.push_back(json_of(one));
    object all{{"recipe", text(forecast.recipe)},
               {"revision", text(forecast.revision)},
               {"product", text(forecast.product)},
               {"fixture", text(forecast.fixture)},
               {"hash", forecast.hash},
               {"nests", forecast.nests},
               {"units_per_hour", number(forecast.units_per_hour)},
               {"limited_by", forecast.limited_by},
               {"steps", std::move(steps)},
               {"series_resistor_ohm", number(forecast.series_resistor.value())},
               {"charging", std::move(charging)}};
    for (auto& member : json_of(forecast.whole)) all[member.key()] = member.value();
    return all;
}

}  // namespace padtrim::answers
