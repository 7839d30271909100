#include "station/answers/fixture_sheet.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/readiness.hpp"

namespace padtrim::answers {
namespace {

using FixtureObject = boost::json::object;

std::string why_no_motion(const language::FixtureProfile& fixture) {
    if (!fixture.finger) return "The fixture has no finger.";
    if (!fixture.finger->stop.empty()) return "";
    return "The profile has no finger.stop: a lease that runs out could not end a way.";
}

Json finger_json(const std::optional<language::Finger>& finger) {
    if (!finger) return nullptr;
    return FixtureObject{{"diameter_mm", finger->diameter.value()},
                         {"travel_x_mm", finger->travel_x.value()},
                         {"travel_y_mm", finger->travel_y.value()},
                         {"travel_z_mm", finger->travel_z.value()},
                         {"safe_height_mm", finger->safe_height.value()},
                         {"surface_height_mm", finger->surface_height.value()},
                         {"most_step_mm", engine::most_hand_jog.value()}};
}

Json step_json(const language::CharacterisedStep& step) {
    return FixtureObject{{"nest", step.nest},
                         {"channel", step.channel},
                         {"reference", text(step.reference)},
                         {"coil", step.coil},
                         {"value_pf", number(step.value.value())},
                         {"expanded_uncertainty_pf", number(step.expanded_uncertainty.value())},
                         {"coverage_factor", number(step.coverage_factor)}};
}

Json equipment_json(const FixtureSheet& sheet) {
    const auto& equipment = sheet.equipment;
    boost::json::array steps;
    for (const auto& step : equipment.steps) steps.push_back(step_json(step));
    return FixtureObject{{"certificate", text(equipment.certificate)},
                         {"characterised_on", text(equipment.characterised_on)},
                         {"recalibration_due", text(equipment.recalibration_due)},
                         {"expired", text(sheet.expired)},
                         {"frequency_khz", number(equipment.frequency.value())},
                         {"temperature_c", number(equipment.temperature.value())},
                         {"steps", std::move(steps)}};
}

Json connection_json(const std::optional<engine::Connection>& connected) {
    if (!connected) return nullptr;
    return FixtureObject{{"nest", connected->nest},
                         {"channel", connected->channel},
                         {"reference", text(connected->reference)},
                         {"coil", connected->coil}};
}

Json place_json(const std::optional<port::Position>& at) {
    if (!at) return nullptr;
    return FixtureObject{{"x_mm", at->x.value()}, {"y_mm", at->y.value()}, {"z_mm", at->z.value()}};
}

}  // namespace

FixtureSheet fixture_sheet(const language::Plan& plan, record::WallTime now) {
    FixtureSheet sheet;
    sheet.fixture = plan.fixture.fixture;
    sheet.revision = plan.fixture.revision;
    sheet.nests = plan.fixture.nests;
    sheet.finger = plan.fixture.finger;
    sheet.no_motion = why_no_motion(plan.fixture);
    sheet.equipment = plan.fixture.equipment;
    sheet.expired = recalibration_due(plan.fixture.equipment, now);
    return sheet;
}

Json to_json(const FixtureSheet& sheet) {
    boost::json::array nests;
    for (const auto& nest : sheet.nests)
        nests.push_back(FixtureObject{{"nest", nest.number},
                                      {"origin_x_mm", nest.origin_x.value()},
                                      {"origin_y_mm", nest.origin_y.value()}});
    return FixtureObject{{"fixture", text(sheet.fixture)}, {"revision", text(sheet.revision)},
                         {"nests", std::move(nests)},      {"finger", finger_json(sheet.finger)},
                         {"no_motion", sheet.no_motion},   {"equipment", equipment_json(sheet)}};
}

Json to_json(const FixtureHold& hold) {
    return FixtureObject{{"held", hold.held},
                         {"who", text(hold.who)},
                         {"left_ms", hold.left.count()},
                         {"lease_ms", hold.lease.count()},
                         {"state", text(engine::name_of(hold.work.state))},
                         {"doing", text(hold.work.doing)},
                         {"connected", connection_json(hold.work.connected)},
                         {"finger", place_json(hold.work.at)},
                         {"sentence", text(hold.work.sentence)}};
}

}  // namespace padtrim::answers
