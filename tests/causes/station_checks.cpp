#include "tests/causes/station_checks.hpp"

namespace padtrim::causes {

namespace {

record::CheckResult result_of(const char* check, std::size_t channel, double value) {
    record::CheckResult result;
    result.step = "measured";
    result.check = check;
    result.key = "key " + std::to_string(channel + 1);
    result.channel = static_cast<int>(channel);
    result.frequency = 0;
    result.value = value;
    result.standard_uncertainty = 0.5;
    result.verdict = record::Verdict::pass;
    return result;
}

}  // namespace

StationChecks::StationChecks(Production& line, std::vector<std::string> charted) : line_(line) {
    rule_.baseline = baseline;
    for (std::size_t s = 0; s < standards; ++s)
        rule_.standards.push_back({name_of_standard(s), charted, {}});
}

record::ShiftCheck StationChecks::next() {
    std::vector<record::MeasuredStandard> measured;
    for (std::size_t s = 0; s < standards; ++s)
        for (std::uint16_t nest = 1; nest <= nests; ++nest) {
            record::MeasuredStandard unit{nest, name_of_standard(s), {}};
            unit.result.verdict = record::Verdict::pass;
            const Measured values = line_.standard(s, nest);
            for (std::size_t c = 0; c < channels; ++c) {
                unit.result.checks.push_back(result_of("gain", c, values[c].gain));
                unit.result.checks.push_back(result_of("offset", c, values[c].offset));
                unit.result.checks.push_back(result_of("touch response", c, values[c].touch));
            }
            measured.push_back(std::move(unit));
        }
    record::ShiftCheck check;
    quality::decide(check, rule_, measured, history_);
    for (const auto& point : check.points)
        if (point.state == record::ChartState::learning)
            history_[point.place].push_back(point.value);
    return check;
}

void StationChecks::learn() {
    for (unsigned i = 0; i < baseline; ++i) static_cast<void>(next());
}

}  // namespace padtrim::causes
