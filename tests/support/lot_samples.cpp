#include "tests/support/lot_samples.hpp"

#include <chrono>

namespace padtrim::support {

using namespace record;

WallTime at_second(std::int64_t second) {
    using namespace std::chrono;
    return WallTime(sys_days(year(2031) / 3 / 4)) + seconds(second);
}

LotStart sample_lot(const std::string& name, const std::string& station) {
    LotStart start;
    start.lot = name;
    start.station = station;
    start.plan_hash = "5f1e";
    start.plan_text = "recipe = 'demo'\n";
    start.recipe = "eight keys";
    start.recipe_revision = "3";
    start.product = "panel";
    start.fixture = "F1";
    start.at = at_second(0);
    start.operator_name = "night shift";
    return start;
}

RunStart sample_run(LotId lot, const std::string& serial, std::uint16_t nest) {
    RunStart start;
    start.lot = lot;
    start.nest = nest;
    start.serial = serial;
    start.label = serial;
    start.at = at_second(10);
    return start;
}

WriteIntent sample_intent() {
    WriteIntent intent;
    intent.as_found = {TrimMoment::as_found, {256, 256}, {0, 0}};
    intent.to_write = {TrimMoment::written, {260, 249}, {-14, 2'000'000'000}};
    intent.at = at_second(20);
    return intent;
}

namespace {

Readings sample_readings(const std::string& reference) {
    Readings readings;
    readings.step = "gain and offset";
    readings.situation.reference = reference;
    readings.situation.channels = {0, 1};
    for (std::uint32_t i = 0; i < 3; ++i) {
        const auto n = static_cast<std::int32_t>(i);
        readings.scans.push_back({100 + i, 1000 * std::int64_t{i}, {800 + n, -5, 790 - n, 0}});
    }
    return readings;
}

}  // namespace

Observations sample_observations(const std::string& serial) {
    Observations seen;
    seen.nest = 2;
    seen.identity = IdentityRead{0xC0DEU, "1.4.0", serial, serial};
    seen.climate.push_back({-3, Celsius(23.4), RelativeHumidity(41.5)});
    seen.readings = {sample_readings(""), sample_readings("R1")};
    const FingerPose over{"K1", Millimetre(10.5), Millimetre(-0.25), Millimetre(2.0), true};
    seen.readings.back().situation.finger = over;
    seen.readings.back().situation.reading = Reading::corrected;
    seen.touch_reports.push_back({"touch", over, 5'000'000, {true, false, true}});
    seen.touch_reports.push_back({"touch", std::nullopt, 6'000'000, {}});
    seen.trims.push_back({TrimMoment::as_found, {256, 256}, {0, -1}});
    seen.trims.push_back({TrimMoment::after_power_off, {260, 249}, {-14, 33}});
    seen.faults.push_back({"touch", "timeout", "finger", "no answer in 200 ms", Blame::fixture});
    seen.steps_done = {"identify", "gain and offset"};
    return seen;
}

namespace {

CheckResult sample_check(Verdict verdict) {
    CheckResult check;
    check.step = "gain and offset";
    check.check = "gain";
    check.key = "K1";
    check.channel = 0;
    check.frequency = 1;
    check.value = 812.4;
    check.unit = "counts/pF";
    check.standard_uncertainty = 0.3;
    check.degrees_of_freedom = 173.5;
    check.coverage_factor = 2.01;
    check.expanded_uncertainty = 0.603;
    check.low = 700.0;
    check.margin = 186.4;
    check.verdict = verdict;
    check.note = verdict == Verdict::pass ? "" : "Gain is low at K1.";
    return check;
}

ChannelLine sample_line(int channel) {
    ChannelLine line;
    line.channel = channel;
    line.key = "K" + std::to_string(channel + 1);
    line.gain = 812.4 + channel;
    line.offset = 1500.25 - channel;
    line.gain_standard = 0.3;
    line.offset_standard = 1.5;
    line.covariance = -0.07;
    line.gain_expanded = 0.6;
    line.offset_expanded = 3.0;
    line.degrees_of_freedom = 38.2;
    return line;
}

}  // namespace

UnitRecord sample_unit(Verdict verdict, Disposition disposition) {
    UnitRecord unit;
    unit.observations = sample_observations("A1");
    unit.result.formula_version = "1";
    unit.result.checks = {sample_check(Verdict::pass), sample_check(verdict)};
    unit.result.lines = {sample_line(0), sample_line(1)};
    unit.result.verdict = verdict;
    unit.result.disposition = disposition;
    unit.result.reason = "Because of " + std::string(name_of(verdict)) + ".";
    unit.result.next_step = "Take the unit out.";
    unit.finished = at_second(60);
    return unit;
}

std::vector<std::string> odd_serials() {
    using namespace std::string_literals;
    return {"",
            " ",
            "it's \"quoted\"",
            "two\nlines\r\n",
            "nul\0inside"s,
            "'); DROP TABLE run; --",
            "\xC3\xBCml\xC3\xA4ut \xE6\xB5\x8B\xE8\xAF\x95 \xF0\x9F\x98\x80",
            "\xFF\xFE\x80 not utf-8",
            "%s%n{}?1:a",
            std::string(100'000, 'x')};
}

}  // namespace padtrim::support
