#include "station/answers/control_words.hpp"

#include <algorithm>

#include "station/answers/lone_value.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {

std::vector<std::string> sentences_of(const ControlAnswer& answer) {
    std::vector<std::string> sentences;
    std::string rules;
    for (const auto& rule : answer.rules) rules += (rules.empty() ? "" : "; ") + rule;
    if (!rules.empty()) sentences.push_back("Signals: " + rules + ".");
    if (answer.by_day)
        sentences.emplace_back(
            "So many units are charted by the means of days, out of the rollups. Ask for a lot or "
            "some days to have single values.");
    sentences.push_back(answer.baseline == 0 ? "Limits are from all points shown."
                                             : "Limits are from the first " +
                                                   std::to_string(answer.baseline) + " points.");
    if (answer.frozen_not_drawn)
        sentences.emplace_back(
            answer.by_day
                ? "Charts are frozen, but not of the means of days: name a lot or some days to see "
                  "them. Their alarms are kept (padtrim alarms)."
                : "Charts are frozen, each for one revision of its recipe, and these units are of "
                  "several: name one to see them. Their alarms are kept (padtrim alarms).");
    if (std::any_of(answer.places.begin(), answer.places.end(),
                    [](const PlaceControl& place) { return place.frozen.has_value(); }))
        sentences.emplace_back(
            "Charts that are frozen for this recipe keep their own kind and limits. What came "
            "after the freezing is judged as its alarms are, with what went before.");
    return sentences;
}

std::string remark_of(const ControlAnswer& answer, const PlaceControl& place) {
    if (place.flaw) return std::string(statistics::text_of(*place.flaw));
    if (!place.frozen) return lone_value_words(answer, place);
    return place.frozen->kind + ", frozen by " + printable(place.frozen->who, 40);
}

}  // namespace padtrim::answers
