#include "station/answers/panel_sheet.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/cautions.hpp"
#include "station/engine/loader.hpp"

namespace padtrim::answers {
namespace {

using SheetObject = boost::json::object;

std::string_view kind_name(language::KeyKind kind) {
    switch (kind) {
        case language::KeyKind::button:
            return "button";
        case language::KeyKind::slider:
            return "slider";
        case language::KeyKind::wheel:
            return "wheel";
        case language::KeyKind::proximity:
            return "proximity";
    }
    return "";
}

Json key_json(const language::Key& key) {
    return SheetObject{{"name", key.name},
                       {"kind", text(kind_name(key.kind))},
                       {"channels", boost::json::array(key.channels.begin(), key.channels.end())},
                       {"x_mm", key.x.value()},
                       {"y_mm", key.y.value()},
                       {"width_mm", key.width.value()},
                       {"height_mm", key.height.value()}};
}

}  // namespace

PanelSheet panel_sheet(const language::Plan& plan, const std::string& station) {
    PanelSheet sheet;
    sheet.station = station;
    sheet.fixture = plan.fixture.fixture;
    sheet.fixture_revision = plan.fixture.revision;
    sheet.product = plan.map.product;
    sheet.map_revision = plan.map.revision;
    sheet.recipe = plan.recipe.name;
    sheet.recipe_revision = plan.recipe.revision;
    sheet.plan_hash = plan.hash;
    sheet.width = plan.map.panel_width;
    sheet.height = plan.map.panel_height;
    sheet.overlay = plan.map.overlay;
    sheet.keys = plan.map.keys;
    for (const auto& nest : plan.fixture.nests)
        sheet.nests.push_back({nest.number, !engine::has_handler(nest)});
    sheet.has_finger = plan.fixture.finger.has_value();
    if (plan.fixture.finger) sheet.finger_diameter = plan.fixture.finger->diameter;
    sheet.has_shift_check = plan.fixture.shift_check.has_value();
    sheet.has_guard = plan.fixture.interlocks.guard_input.has_value();
    sheet.has_stack_light = plan.fixture.stack_light.has_value();
    sheet.caution = caution_line();
    return sheet;
}

Json to_json(const PanelSheet& sheet) {
    boost::json::array keys, nests;
    for (const auto& key : sheet.keys) keys.push_back(key_json(key));
    for (const auto& nest : sheet.nests)
        nests.push_back(SheetObject{{"nest", nest.number}, {"by_hand", nest.by_hand}});
    return SheetObject{{"station", sheet.station},
                       {"fixture", sheet.fixture},
                       {"fixture_revision", sheet.fixture_revision},
                       {"product", sheet.product},
                       {"map_revision", sheet.map_revision},
                       {"recipe", sheet.recipe},
                       {"recipe_revision", sheet.recipe_revision},
                       {"plan_hash", sheet.plan_hash},
                       {"width_mm", sheet.width.value()},
                       {"height_mm", sheet.height.value()},
                       {"overlay_mm", sheet.overlay.value()},
                       {"keys", std::move(keys)},
                       {"nests", std::move(nests)},
                       {"has_finger", sheet.has_finger},
                       {"finger_mm", sheet.finger_diameter.value()},
                       {"has_shift_check", sheet.has_shift_check},
                       {"has_guard", sheet.has_guard},
                       {"has_stack_light", sheet.has_stack_light},
                       {"caution", sheet.caution}};
}

}  // namespace padtrim::answers
