// What the product itself reports of the finger: each key alone while it is touched, none when
// lifted.
#include <algorithm>

#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

// "reports nothing", or "reports key 2 and key 4".
std::string reported_text(const Case& unit, const record::TouchReport& report) {
    std::string text;
    const auto& keys = unit.map().keys;
    for (std::size_t i = 0; i < keys.size() && i < report.reported.size(); ++i) {
        if (!report.reported[i]) continue;
        text += (text.empty() ? "" : " and ") + unit.place_of_key(keys[i].name);
    }
    return "reports " + (text.empty() ? "nothing" : text);
}

bool reports_only(const Case& unit, const record::TouchReport& report, const std::string& key) {
    const auto& keys = unit.map().keys;
    if (report.reported.size() < keys.size()) return false;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        if (report.reported[i] != (keys[i].name == key)) return false;
    }
    return true;
}

bool touches(const record::TouchReport& report, const std::string& key) {
    return report.finger && report.finger->touching && report.finger->key == key;
}

}  // namespace

void check_touch_reports(const Case& unit, const std::string& step, record::Stage stage,
                         const std::vector<std::string>& keys, Findings& findings) {
    const auto place = [&](const char* check, const std::string& key) {
        return CheckPlace{step, check, "1", record::Traceability::indication, stage, -1, -1, key};
    };
    const auto& reports = unit.observations().touch_reports;
    for (const std::string& key : keys) {
        const auto found = std::find_if(reports.begin(), reports.end(), [&](const auto& report) {
            return report.step == step && touches(report, key);
        });
        if (found == reports.end()) {
            add_unjudged(findings, place("touch report", key),
                         "The product was not asked about " + unit.place_of_key(key) + ".");
            continue;
        }
        const bool holds = reports_only(unit, *found, key);
        add_condition(findings, place("touch report", key), holds,
                      holds ? std::string()
                            : "Touched at " + unit.place_of_key(key) + ", the product " +
                                  reported_text(unit, *found) + ".");
    }
    const record::TouchReport* lifted = nullptr;
    for (const record::TouchReport& report : reports) {
        if (report.step != step || (report.finger && report.finger->touching)) continue;
        if (!lifted || !reports_only(unit, report, "")) lifted = &report;
    }
    if (!lifted) return;
    const bool holds = reports_only(unit, *lifted, "");
    add_condition(findings, place("rest report", ""), holds,
                  holds
                      ? std::string()
                      : "With the finger lifted the product " + reported_text(unit, *lifted) + ".");
}

}  // namespace padtrim::metrology
