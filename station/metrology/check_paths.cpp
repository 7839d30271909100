// Steps in which the finger's place matters: sweep along sliders and wheels, hover, wet panel.
//
// Positions are told along the track: mm from a slider's left end, degrees around a wheel. The
// finger's own place is taken as exact beside the product's.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "recipes/language/key_track.hpp"
#include "station/metrology/approach.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

constexpr double whole_turn = 360.0;

std::string names_of(const Case& unit, const std::vector<bool>& reported) {
    std::string text;
    const auto& keys = unit.map().keys;
    for (std::size_t i = 0; i < keys.size() && i < reported.size(); ++i)
        if (reported[i]) text += (text.empty() ? "" : " and ") + unit.place_of_key(keys[i].name);
    return text;
}

bool only(const Case& unit, const std::vector<bool>& reported, const std::string& key) {
    const auto& keys = unit.map().keys;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        const bool felt = i < reported.size() && reported[i];
        if (felt != (keys[i].name == key)) return false;
    }
    return true;
}

class SweepCheck {
  public:
    SweepCheck(const Case& unit, const std::string& step, const language::SweepStep& body,
               const language::Key& key, std::size_t place, Findings& findings)
        : unit_(unit), step_(step), body_(body), key_(key), place_(place), findings_(findings) {}

    void run() {
        read();
        if (readings_.size() < body_.points && wrong_.empty()) {
            add_unjudged(findings_, at("position non-linearity", "%"),
                         "The track of " + unit_.place_of_key(key_.name) + " was not swept.");
            return;
        }
        add_condition(findings_, at("touch report", "1"), wrong_.empty(), wrong_);
        const auto line = position_linearity(readings_, wheel() ? whole_turn : 0.0);
        if (!line) return;
        const double resolution = span() / full() / std::sqrt(12.0);
        const double non_linearity =
            wheel() ? 100.0 * line->largest / whole_turn : line->non_linearity;
        add_check(findings_, unit_, at("position non-linearity", "%"),
                  {non_linearity, 100.0 * resolution / span()},
                  limits_of_magnitude(body_.non_linearity));
        add_check(findings_, unit_, at("position error", "mm"),
                  {largest_error() * millimetres(), resolution * millimetres()},
                  limits_of_magnitude(body_.position_error));
    }

  private:
    [[nodiscard]] bool wheel() const { return key_.kind == language::KeyKind::wheel; }
    [[nodiscard]] double span() const { return wheel() ? whole_turn : key_.width.value(); }
    [[nodiscard]] double full() const {
        return unit_.map().position ? unit_.map().position->full : 1.0;
    }
    // For each unit of the track.
    [[nodiscard]] double millimetres() const {
        const double around = 2.0 * std::numbers::pi * language::wheel_radius(key_).value();
        return wheel() ? around / whole_turn : 1.0;
    }
    [[nodiscard]] double truth_of(const record::FingerPose& pose) const {
        const language::Nest* nest = unit_.plan().fixture.nest(unit_.observations().nest);
        const Millimetre x = pose.x - (nest ? nest->origin_x : Millimetre(0.0)) - key_.x;
        const Millimetre y = pose.y - (nest ? nest->origin_y : Millimetre(0.0)) - key_.y;
        if (!wheel()) return x.value() + key_.width.value() / 2.0;
        const double angle = std::atan2(y.value(), x.value()) * whole_turn / 2.0 / std::numbers::pi;
        return angle < 0.0 ? angle + whole_turn : angle;
    }
    void read() {
        const auto& position = unit_.map().position;
        for (const record::Sighting& s : unit_.observations().sightings) {
            if (s.step != step_ || s.finger.key != key_.name) continue;
            const bool told =
                position && place_ < s.positions.size() && s.positions[place_] != position->none;
            const double truth = truth_of(s.finger);
            if (told) readings_.push_back({truth, s.positions[place_] / full() * span()});
            if (!wrong_.empty() || (told && only(unit_, s.reported, key_.name))) continue;
            const std::string names = names_of(unit_, s.reported);
            wrong_ = "At " + figure(truth, 3) + (wheel() ? " degrees" : " mm") + " of " +
                     unit_.place_of_key(key_.name) + " the product reports " +
                     (names.empty() ? "nothing" : names) + ".";
        }
    }
    [[nodiscard]] double largest_error() const {
        double largest = 0.0;
        for (const PositionReading& r : readings_) {
            double error = r.reported - r.truth;
            if (wheel()) error -= whole_turn * std::round(error / whole_turn);
            largest = std::max(largest, std::abs(error));
        }
        return largest;
    }
    [[nodiscard]] CheckPlace at(const char* check, const char* unit) const {
        CheckPlace place{step_, check, unit, Traceability::comparable};
        place.key = key_.name;
        return place;
    }

    const Case& unit_;
    const std::string& step_;
    const language::SweepStep& body_;
    const language::Key& key_;
    std::size_t place_;  // in the position registers
    Findings& findings_;
    std::vector<PositionReading> readings_;
    std::string wrong_;  // the first report that was not as it should be
};

}  // namespace

void check_step(const Case& unit, const std::string& step, const language::SweepStep& body,
                Findings& findings) {
    std::size_t place = 0;
    for (const language::Key& key : unit.map().keys) {
        if (!language::has_position(key.kind)) continue;
        const bool wanted = body.keys.empty() || std::find(body.keys.begin(), body.keys.end(),
                                                           key.name) != body.keys.end();
        if (wanted) SweepCheck(unit, step, body, key, place, findings).run();
        ++place;
    }
}

void check_step(const Case& unit, const std::string& step, const language::HoverStep& body,
                Findings& findings) {
    CheckPlace place{step, "hover report", "1", Traceability::indication};
    bool seen = false;
    std::string names;
    for (const record::Sighting& s : unit.observations().sightings) {
        if (s.step != step) continue;
        seen = true;
        if (names.empty()) names = names_of(unit, s.reported);
    }
    if (!seen) {
        add_unjudged(findings, std::move(place), "Nothing was moved over the panel.");
        return;
    }
    const std::string where = "At " + figure(body.height.value(), 3) + " mm above the panel ";
    const bool wanted = body.expect == language::Expect::reported;
    add_condition(
        findings, std::move(place), wanted != names.empty(),
        where + (wanted ? "the product reports nothing." : "the product reports " + names + "."));
}

void check_step(const Case& unit, const std::string& step, const language::WetPanelStep&,
                Findings& findings) {
    CheckPlace place{step, "wet report", "1", Traceability::indication};
    bool watched = false;
    std::string names;
    for (const record::TouchReport& report : unit.observations().touch_reports) {
        if (report.step != step) continue;
        watched = true;
        if (names.empty()) names = names_of(unit, report.reported);
    }
    if (!watched) {
        add_unjudged(findings, std::move(place), "Nobody laid the water on the panel.");
        return;
    }
    add_condition(findings, std::move(place), names.empty(),
                  "Wet, the product reports " + names + " without a finger.");
}

}  // namespace padtrim::metrology
