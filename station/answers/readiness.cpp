#include "station/answers/readiness.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "db/quality/shift_decision.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/times.hpp"

namespace padtrim::answers {

using record::Readiness;
using std::chrono::milliseconds;

namespace {

constexpr const char* how_to = "Run padtrim shift-check with the fixture's check standards.";

std::string good_ago(const std::optional<record::WallTime>& last_good, record::WallTime now) {
    if (!last_good) return "There is no good shift check yet.";
    return "The last good shift check is " +
           lasting(std::chrono::duration_cast<milliseconds>(now - *last_good)) + " old (" +
           minute_words(*last_good) + " UTC).";
}

ReadinessAnswer watched(const language::FixtureProfile& fixture,
                        const std::optional<record::ShiftCheck>& newest,
                        const std::optional<record::WallTime>& last_good, record::WallTime now) {
    ReadinessAnswer answer;
    answer.last_good = last_good;
    answer.station.state = Readiness::needs_check;
    answer.sentence = good_ago(last_good, now);
    if (!newest) {
        answer.sentence += std::string(" ") + how_to;
        return answer;
    }
    answer.station.shift_check = newest->id;
    const milliseconds age = std::chrono::duration_cast<milliseconds>(now - newest->at);
    if (newest->decision == record::CheckDecision::blocked) {
        answer.station.state = Readiness::blocked;
        answer.sentence = "The shift check of " + minute_words(newest->at) +
                          " UTC blocks the station: " + newest->cause + " " + newest->next_step +
                          " " + answer.sentence;
    } else if (newest->certificate != fixture.equipment.certificate) {
        answer.sentence += " The references have another certificate since (" +
                           fixture.equipment.certificate + "). " + how_to;
    } else if (age > fixture.shift_check->valid) {
        answer.sentence += " It holds for " + lasting(fixture.shift_check->valid) + ". " + how_to;
    } else {
        answer.station.state = Readiness::ready;
    }
    return answer;
}

}  // namespace

std::string recalibration_due(const language::EquipmentRecord& equipment, record::WallTime now) {
    const std::string today = iso_8601(now).substr(0, 10);
    if (equipment.recalibration_due.empty() || today < equipment.recalibration_due) return "";
    return "The reference steps (certificate " + equipment.certificate +
           ") were due for recalibration on " + equipment.recalibration_due +
           ". Have them characterised (padtrim reference measure).";
}

ReadinessAnswer readiness_of(const language::FixtureProfile& fixture,
                             const std::optional<record::ShiftCheck>& newest,
                             const std::optional<record::WallTime>& last_good,
                             record::WallTime now) {
    ReadinessAnswer answer;
    answer.sentence =
        "The fixture profile names no check standards: between recalibrations nobody sees whether "
        "the station still measures as it did.";
    if (fixture.shift_check) answer = watched(fixture, newest, last_good, now);
    const std::string due = recalibration_due(fixture.equipment, now);
    if (due.empty()) return answer;
    answer.references_due = true;
    answer.sentence = fixture.shift_check ? due + " " + answer.sentence : due;
    if (answer.station.state != Readiness::blocked) answer.station.state = Readiness::needs_check;
    return answer;
}

journal::Stored<ReadinessAnswer> readiness_in(ledger::Reader& reader,
                                              const language::FixtureProfile& fixture,
                                              const std::string& station, record::WallTime now) {
    auto newest = reader.shift_checks(station, fixture.fixture, 1);
    if (!newest) return newest.error();
    const auto last_good = reader.last_good_check(station, fixture.fixture);
    if (!last_good) return last_good.error();
    std::optional<record::ShiftCheck> check;
    if (!newest->empty()) check = std::move(newest->front());
    return readiness_of(fixture, check, *last_good, now);
}

record::ShiftCheck shift_check_of(
    const language::Plan& plan, const engine::ShiftOutcome& outcome,
    const std::map<record::ChartPlace, std::vector<double>>& history) {
    record::ShiftCheck check;
    check.fixture = plan.fixture.fixture;
    check.product = plan.map.product;
    check.certificate = plan.fixture.equipment.certificate;
    check.lots = outcome.lots;
    quality::decide(check, *plan.fixture.shift_check, outcome.measured, history);
    return check;
}

namespace {

using Object = boost::json::object;

Json limit_or_null(const std::optional<double>& value) {
    return value ? number(*value) : Json(nullptr);
}

Json to_json(const record::ChartPoint& point) {
    const record::ChartPlace& at = point.place;
    return Object{{"serial", text(at.serial)},
                  {"nest", at.nest},
                  {"step", at.step},
                  {"check", at.check},
                  {"key", at.key},
                  {"channel", at.channel < 0 ? Json(nullptr) : Json(at.channel)},
                  {"frequency", at.frequency < 0 ? Json(nullptr) : Json(at.frequency)},
                  {"value", number(point.value)},
                  {"unit", point.unit},
                  {"state", text(record::name_of(point.state))},
                  {"centre", number(point.centre)},
                  {"sigma", number(point.sigma)},
                  {"low", limit_or_null(point.low)},
                  {"high", limit_or_null(point.high)}};
}

Json to_json(const record::StandardOutcome& unit) {
    return Object{{"serial", text(unit.serial)}, {"nest", unit.nest},
                  {"challenge", unit.challenge}, {"verdict", text(record::name_of(unit.verdict))},
                  {"as_wanted", unit.as_wanted}, {"reason", unit.reason}};
}

}  // namespace

Json to_json(const record::ShiftCheck& check) {
    boost::json::array units, points;
    for (const auto& unit : check.standards) units.push_back(to_json(unit));
    for (const auto& point : check.points) points.push_back(to_json(point));
    return Object{{"shift_check", check.id},    {"station", text(check.station)},
                  {"fixture", check.fixture},   {"at", text(iso_8601(check.at))},
                  {"who", text(check.who)},     {"decision", text(record::name_of(check.decision))},
                  {"cause", check.cause},       {"next_step", check.next_step},
                  {"baseline", check.baseline}, {"learned", check.learned},
                  {"units", std::move(units)},  {"points", std::move(points)}};
}

Json to_json(const ReadinessAnswer& readiness) {
    const auto& good = readiness.last_good;
    return Object{{"state", text(record::name_of(readiness.station.state))},
                  {"may_produce", readiness.may_produce()},
                  {"references_due", readiness.references_due},
                  {"last_good_check", good ? text(iso_8601(*good)) : Json(nullptr)},
                  {"sentence", readiness.sentence}};
}

}  // namespace padtrim::answers
