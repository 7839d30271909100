// Steps in which the finger's height matters: approach curve, proximity, response time, slow
// approach.
//
//   operating distance = height at the first report - height of this unit's surface
//   response time      = first report - when the falling finger reached the operating distance
//
// The moment is taken from the straight line through the heights seen while the finger moved, since
// a look at it falls between two others.
#include <algorithm>
#include <cmath>

#include "db/statistics/straight_line.hpp"
#include "station/metrology/height_looks.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

CheckPlace of_key(const std::string& step, const language::Key& key, const char* check,
                  const char* unit, Traceability claim = Traceability::comparable) {
    CheckPlace place{step, check, unit, claim};
    place.key = key.name;
    return place;
}

// Of one height as the controller tells it; 0 where nobody calibrated the axis. Distances between
// heights that lie close together do not have it.
double axis_standard(const Case& unit) {
    const auto& finger = unit.plan().fixture.finger;
    return finger ? 0.5 * finger->height_expanded_uncertainty.value() : 0.0;
}

bool chosen(const std::vector<std::string>& names, const language::Key& key) {
    return names.empty() || std::find(names.begin(), names.end(), key.name) != names.end();
}

Measured in_millimetres(Millimetre value, double standard) {
    return {value.value(), standard};
}

// What an approach curve before, if there was one, says of this key.
struct KnownDistance {
    FoundSurface surface;
    OperatingDistance distances;
};
std::optional<KnownDistance> known_distance(const Case& unit, const std::string& step,
                                            const language::Key& key) {
    const HeightLooks looks(unit, step, key, Millimetre(0.0));
    const auto surface = surface_of(looks.curve());
    if (!surface) return std::nullopt;
    const auto distances = looks.distances(surface->height);
    if (!distances) return std::nullopt;
    return KnownDistance{*surface, *distances};
}

void check_distances(const Case& unit, const std::string& step, const language::Key& key,
                     const OperatingDistance& found, double surface_standard,
                     const Interval<Millimetre>& operate, const Interval<Millimetre>& travel,
                     Findings& findings) {
    if (!found.within_reach) {
        add_unjudged(findings, of_key(step, key, "operating distance", "mm"),
                     "The product reports " + unit.place_of_key(key.name) +
                         " at the highest look already: its operating distance lies beyond.");
        return;
    }
    const double standard = std::hypot(found.operate_standard.value(), surface_standard);
    add_check(findings, unit, of_key(step, key, "operating distance", "mm"),
              in_millimetres(found.operate, standard), limits_of(operate));
    add_check(findings, unit, of_key(step, key, "differential travel", "mm"),
              in_millimetres(found.differential_travel, found.travel_standard.value()),
              limits_of_magnitude(travel));
}

// False, with a finding, when the product does not report the finger on the key at all.
bool check_reported(const Case& unit, const std::string& step, const language::Key& key,
                    const HeightLooks& looks, Findings& findings) {
    const auto felt = looks.reported_on_surface();
    CheckPlace place = of_key(step, key, "touch report", "1", Traceability::indication);
    if (!felt) {
        add_unjudged(findings, std::move(place),
                     "The finger did not touch " + unit.place_of_key(key.name) + ".");
        return false;
    }
    add_condition(findings, std::move(place), *felt,
                  "Touched at " + unit.place_of_key(key.name) + ", the product reports nothing.");
    return *felt;
}

void check_approach(const Case& unit, const std::string& step, const language::ApproachStep& body,
                    const language::Key& key, Findings& findings) {
    const HeightLooks looks(unit, step, key, Millimetre(0.0));
    const auto surface = surface_of(looks.curve());
    const double axis = axis_standard(unit);
    const auto claim = axis > 0.0 ? Traceability::traceable : Traceability::comparable;
    if (!surface) {
        add_unjudged(findings, of_key(step, key, "surface", "mm", claim),
                     "The surface at " + unit.place_of_key(key.name) + " was not found: " +
                         std::string(statistics::text_of(surface.error())) + ".");
    } else {
        add_check(findings, unit, of_key(step, key, "surface", "mm", claim),
                  in_millimetres(surface->height, std::hypot(surface->standard.value(), axis)),
                  limits_of(body.surface));
    }
    if (!check_reported(unit, step, key, looks, findings) || !surface) return;
    const auto found = looks.distances(surface->height);
    if (!found) {
        add_unjudged(
            findings, of_key(step, key, "operating distance", "mm"),
            "The operating distance of " + unit.place_of_key(key.name) + " was not found.");
        return;
    }
    check_distances(unit, step, key, *found, surface->standard.value(), body.operating_distance,
                    body.differential_travel, findings);
}

void check_proximity(const Case& unit, const std::string& step, const language::ProximityStep& body,
                     const language::Key& key, Findings& findings) {
    const auto* target = unit.plan().fixture.target(body.target);
    const HeightLooks looks(unit, step, key, target ? target->thickness : Millimetre(0.0));
    for (std::size_t f = 0; f < unit.frequencies() && body.response.limited(); ++f) {
        CheckPlace place = of_key(step, key, "proximity response", "counts");
        place.channel = looks.channel();
        place.frequency = static_cast<int>(f);
        const auto change = looks.change_at(body.height, f);
        if (change)
            add_check(findings, unit, std::move(place), *change, limits_of(body.response));
        else
            add_unjudged(findings, std::move(place),
                         "The response of " + unit.place_of_key(key.name) + " was not read.");
    }
    if (!check_reported(unit, step, key, looks, findings)) return;
    const auto found = looks.distances(Millimetre(0.0));
    if (!found) {
        add_unjudged(
            findings, of_key(step, key, "operating distance", "mm"),
            "The operating distance of " + unit.place_of_key(key.name) + " was not found.");
        return;
    }
    check_distances(unit, step, key, *found, 0.0, body.operating_distance, {}, findings);
}

// The sightings of one key, an approach each.
using Fall = std::vector<const record::Sighting*>;
std::vector<Fall> falls_on(const Case& unit, const std::string& step, const std::string& key) {
    std::vector<Fall> falls;
    for (const record::Sighting& s : unit.observations().sightings) {
        if (s.step != step || s.finger.key != key) continue;
        const bool begins = falls.empty() || s.finger.z > falls.back().back()->finger.z;
        if (begins) falls.emplace_back();
        falls.back().push_back(&s);
    }
    return falls;
}

bool reports(const Case& unit, const record::Sighting& s, const std::string& key) {
    const auto& keys = unit.map().keys;
    for (std::size_t i = 0; i < keys.size() && i < s.reported.size(); ++i)
        if (keys[i].name == key) return s.reported[i];
    return false;
}

// When the finger came by this height (of the controller), ms since the run began.
std::optional<Millisecond> moment_at(const Fall& fall, Millimetre z) {
    const Millimetre start = fall.front()->finger.z, end = fall.back()->finger.z;
    const Millimetre margin(0.01);
    std::vector<double> heights, moments;
    for (const record::Sighting* s : fall) {
        const bool on_the_way = s->finger.z < start - margin && s->finger.z > end + margin;
        if (!on_the_way) continue;
        heights.push_back(s->finger.z.value());
        moments.push_back(static_cast<double>(s->finger_at_us) / 1000.0);
    }
    const auto line = statistics::line_of_equal(heights, moments);
    if (!line) return std::nullopt;
    return Millisecond(line->at(z.value()));
}

std::optional<ResponseTime> response_of(const Case& unit, const Fall& fall, const std::string& key,
                                        Millimetre z) {
    const auto reached = moment_at(fall, z);
    if (!reached) return std::nullopt;
    std::vector<TimedReport> reports_in_time;
    for (const record::Sighting* s : fall)
        reports_in_time.push_back(
            {Millisecond(static_cast<double>(s->at_us) / 1000.0), reports(unit, *s, key)});
    const auto found = response_time(*reached, reports_in_time);
    if (!found) return std::nullopt;
    return *found;
}

std::string approach_step(const Case& unit, const std::string& before) {
    std::string found;
    for (const language::Step& each : unit.plan().recipe.steps) {
        if (each.name == before) break;
        if (std::holds_alternative<language::ApproachStep>(each.body)) found = each.name;
    }
    return found;
}

void check_response(const Case& unit, const std::string& step, const language::ResponseStep& body,
                    const language::Key& key, Findings& findings) {
    // From the operating distance on, which check standards hold.
    CheckPlace place = of_key(step, key, "response time", "ms", Traceability::comparable);
    const auto known = known_distance(unit, approach_step(unit, step), key);
    const auto falls = falls_on(unit, step, key.name);
    std::vector<ResponseTime> times;
    const Millimetre zero =
        unit.plan().fixture.finger ? unit.plan().fixture.finger->surface_height : Millimetre(0.0);
    for (const Fall& fall : falls) {
        if (!known) break;
        const Millimetre z = zero + known->surface.height + known->distances.operate;
        if (const auto time = response_of(unit, fall, key.name, z)) times.push_back(*time);
    }
    if (times.empty() || times.size() < falls.size()) {
        add_unjudged(
            findings, std::move(place),
            known ? "The product did not report every approach to " + unit.place_of_key(key.name) +
                        "."
                  : "The operating distance of " + unit.place_of_key(key.name) + " is not known.");
        return;
    }
    double sum = 0.0, variance = 0.0;
    for (const ResponseTime& time : times) {
        sum += time.time.value();
        variance += time.standard.value() * time.standard.value();
    }
    const auto n = static_cast<double>(times.size());
    const double of_height =
        std::hypot(known->distances.operate_standard.value(), known->surface.standard.value()) /
        body.speed.value() * 1000.0;
    add_check(findings, unit, std::move(place),
              {sum / n, std::hypot(std::sqrt(variance) / n, of_height)},
              limits_of(body.response_time));
}

void check_slow(const Case& unit, const std::string& step, const language::SlowApproachStep& body,
                const language::Key& key, Findings& findings) {
    CheckPlace place = of_key(step, key, "slow approach", "1", Traceability::indication);
    const auto falls = falls_on(unit, step, key.name);
    if (falls.empty()) {
        add_unjudged(findings, std::move(place),
                     "The finger did not approach " + unit.place_of_key(key.name) + ".");
        return;
    }
    const bool wanted = body.expect == language::Expect::reported;
    const bool felt = std::any_of(falls[0].begin(), falls[0].end(),
                                  [&](const auto* s) { return reports(unit, *s, key.name); });
    const std::vector<Approach> approaches{{body.speed, felt}};
    const MillimetrePerSecond still(0.0);
    const auto made = wanted ? adaptation(approaches, still, body.speed)
                             : adaptation(approaches, body.speed, 2.0 * body.speed);
    const bool holds = made && made->slow_followed && made->fast_reported;
    const std::string speed = figure(body.speed.value(), 3) + " mm/s";
    add_condition(findings, std::move(place), holds,
                  wanted ? "At " + speed + " the product does not report the finger on " +
                               unit.place_of_key(key.name) + ": it takes it for drift."
                         : "At " + speed + " the product reports " + unit.place_of_key(key.name) +
                               " instead of following.");
}

}  // namespace

void check_step(const Case& unit, const std::string& step, const language::ApproachStep& body,
                Findings& findings) {
    for (const language::Key& key : unit.map().keys)
        if (chosen(body.keys, key)) check_approach(unit, step, body, key, findings);
}

void check_step(const Case& unit, const std::string& step, const language::ProximityStep& body,
                Findings& findings) {
    for (const language::Key& key : unit.map().keys) {
        const bool wanted =
            body.keys.empty() ? key.kind == language::KeyKind::proximity : chosen(body.keys, key);
        if (wanted) check_proximity(unit, step, body, key, findings);
    }
}

void check_step(const Case& unit, const std::string& step, const language::ResponseStep& body,
                Findings& findings) {
    for (const language::Key& key : unit.map().keys)
        if (chosen(body.keys, key)) check_response(unit, step, body, key, findings);
}

void check_step(const Case& unit, const std::string& step, const language::SlowApproachStep& body,
                Findings& findings) {
    for (const language::Key& key : unit.map().keys)
        if (chosen(body.keys, key)) check_slow(unit, step, body, key, findings);
}

}  // namespace padtrim::metrology
