// Steps around the measurements: wait, answers, warm-up, supply and link, stuck and dead keys.
#include <algorithm>

#include "station/metrology/step_checks.hpp"
#include "station/metrology/warm_up.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

CheckPlace of_unit(const std::string& step, const char* check, const char* unit) {
    return {step, check, unit, Traceability::indication};
}

// The resolution of a register of the unit, or of a clock, as a standard uncertainty.
double of_resolution(double resolution) {
    return resolution / std::sqrt(12.0);
}

template <class Kind>
const Kind* last_of(const std::vector<Kind>& all, const std::string& step) {
    const auto found =
        std::find_if(all.rbegin(), all.rend(), [&](const Kind& one) { return one.step == step; });
    return found == all.rend() ? nullptr : &*found;
}

// Key by key: silent in every report without a finger.
void check_stuck(const Case& unit, const std::string& step, const std::string& key,
                 std::size_t index, Findings& findings) {
    std::size_t looks = 0, reported = 0;
    for (const record::TouchReport& report : unit.observations().touch_reports) {
        if (report.step != step || (report.finger && report.finger->touching)) continue;
        ++looks;
        if (index < report.reported.size() && report.reported[index]) ++reported;
    }
    CheckPlace place = of_unit(step, "stuck key", "1");
    place.key = key;
    if (looks == 0) {
        add_unjudged(findings, std::move(place),
                     "Nobody watched " + unit.place_of_key(key) + " while nothing was near.");
        return;
    }
    add_condition(findings, std::move(place), reported == 0,
                  "The product reports " + unit.place_of_key(key) + " while nothing is near, in " +
                      std::to_string(reported) + " of " + std::to_string(looks) + " looks.");
}

void check_dead(const Case& unit, const std::string& step, const std::string& key,
                std::size_t index, Findings& findings) {
    CheckPlace place = of_unit(step, "dead key", "1");
    place.key = key;
    const auto& reports = unit.observations().touch_reports;
    const auto found = std::find_if(reports.begin(), reports.end(), [&](const auto& report) {
        return report.step == step && report.finger && report.finger->touching &&
               report.finger->key == key;
    });
    if (found == reports.end()) {
        add_unjudged(findings, std::move(place),
                     "The finger did not touch " + unit.place_of_key(key) + ".");
        return;
    }
    const bool felt = index < found->reported.size() && found->reported[index];
    add_condition(findings, std::move(place), felt,
                  "Touched at " + unit.place_of_key(key) + ", the product does not report it.");
}

}  // namespace

void check_step(const Case&, const std::string&, const language::WaitStep&, Findings&) {}

void check_step(const Case& unit, const std::string& step, const language::AskStep& body,
                Findings& findings) {
    const auto* answer = last_of(unit.observations().answers, step);
    if (answer == nullptr || !answer->yes) {
        add_unjudged(findings, of_unit(step, "answer", "1"), "Nobody answered: " + body.text);
        return;
    }
    add_condition(
        findings, of_unit(step, "answer", "1"), *answer->yes == body.expect,
        std::string("The operator answered ") + (*answer->yes ? "yes" : "no") + ": " + body.text);
}

void check_step(const Case& unit, const std::string& step, const language::WarmUpStep& body,
                Findings& findings) {
    const auto drift = drift_of(unit.observations(), step);
    for (std::size_t channel = 0; channel < unit.channels(); ++channel) {
        for (std::size_t frequency = 0; frequency < unit.frequencies(); ++frequency) {
            CheckPlace place{step,
                             "drift",
                             "counts",
                             Traceability::indication,
                             record::Stage::as_found,
                             static_cast<int>(channel),
                             static_cast<int>(frequency),
                             unit.key_of(channel)};
            const std::size_t series = unit.series_of(channel, frequency);
            if (series < drift.size())
                add_check(findings, unit, std::move(place), drift[series],
                          limits_of_magnitude(body.drift));
            else
                add_unjudged(findings, std::move(place),
                             "The drift of " + unit.place_of(channel) + " was not read.");
        }
    }
}

void check_step(const Case& unit, const std::string& step, const language::LinkStep& body,
                Findings& findings) {
    const auto* look = last_of(unit.observations().link_looks, step);
    if (look == nullptr) {
        add_unjudged(findings, of_unit(step, "link", "1"), "The link was not looked at.");
        return;
    }
    add_condition(findings, of_unit(step, "link", "1"), look->repeated <= body.lost_at_most,
                  "Of " + std::to_string(look->requests) + " requests " +
                      std::to_string(look->repeated) + " had to be repeated.");
    add_check(findings, unit, of_unit(step, "reply time", "ms"),
              {static_cast<double>(look->slowest_us) / 1000.0, of_resolution(0.001)},
              limits_of(body.reply_time));
    if (!body.supply.limited()) return;
    if (!look->supply) {
        add_unjudged(findings, of_unit(step, "supply", "V"), "The unit does not tell its supply.");
        return;
    }
    const double count = unit.map().supply ? unit.map().supply->resolution() : 0.0;
    add_check(findings, unit, of_unit(step, "supply", "V"),
              {look->supply->value(), of_resolution(count)}, limits_of(body.supply));
}

void check_step(const Case& unit, const std::string& step, const language::StuckKeyStep& body,
                Findings& findings) {
    const auto& keys = unit.map().keys;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        const auto& wanted = body.keys;
        if (!wanted.empty() &&
            std::find(wanted.begin(), wanted.end(), keys[i].name) == wanted.end())
            continue;
        check_stuck(unit, step, keys[i].name, i, findings);
        if (body.finger) check_dead(unit, step, keys[i].name, i, findings);
    }
}

}  // namespace padtrim::metrology
