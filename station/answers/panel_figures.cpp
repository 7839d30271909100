#include "station/answers/panel_figures.hpp"

#include <algorithm>

#include "station/answers/printable.hpp"

namespace padtrim::answers {

PanelFigure panel_of(const language::PlanPtr& plan, std::string id, std::string title) {
    PanelFigure figure;
    figure.id = std::move(id);
    figure.title = std::move(title);
    if (!plan) return figure;
    figure.width = plan->map.panel_width.value();
    figure.height = plan->map.panel_height.value();
    for (const auto& key : plan->map.keys) {
        PanelPlace place;
        place.key = printable(key.name, 40);
        place.round = key.kind == language::KeyKind::wheel;
        place.x = key.x.value();
        place.y = key.y.value();
        place.width = key.width.value();
        place.height = key.height.value();
        figure.places.push_back(std::move(place));
    }
    return figure;
}

PanelPlace* place_of(PanelFigure& figure, const std::string& key) {
    const auto at = std::find_if(figure.places.begin(), figure.places.end(),
                                 [&](const PanelPlace& place) { return place.key == key; });
    return at == figure.places.end() ? nullptr : &*at;
}

}  // namespace padtrim::answers
