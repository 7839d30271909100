#include "station/answers/yield_report.hpp"

#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/figures.hpp"

namespace padtrim::answers {
namespace {

using Object = boost::json::object;

Json to_json(const statistics::ProportionInterval& interval) {
    return Object{{"low", number(interval.low)}, {"high", number(interval.high)}};
}

Json to_json(const quality::Share& share) {
    return Object{{"part", share.part},
                  {"whole", share.whole},
                  {"value", number(share.value)},
                  {"wilson_95", to_json(share.wilson)},
                  {"clopper_pearson_95", to_json(share.exact)}};
}

}  // namespace

journal::Stored<std::vector<YieldLine>> yield_report(ledger::Reader& reader,
                                                     const ledger::YieldFilter& filter,
                                                     ledger::YieldBy by) {
    const auto rows = reader.yield(filter, by);
    if (!rows) return rows.error();
    std::vector<YieldLine> lines;
    for (const auto& row : rows.value()) {
        const auto yield = quality::yield_of(row.count);
        lines.push_back({row, yield ? std::optional(yield.value()) : std::nullopt});
    }
    return lines;
}

Json to_json(const record::YieldCount& count) {
    return Object{{"units", count.units},
                  {"first_pass", count.first_pass},
                  {"final_pass", count.final_pass},
                  {"retested", count.retested},
                  {"rejected_first", count.rejected_first},
                  {"recovered", count.recovered},
                  {"without_verdict", count.without_verdict}};
}

Json to_json(const quality::Yield& yield) {
    return Object{{"first_pass", to_json(yield.first_pass)},
                  {"final", to_json(yield.final_pass)},
                  {"retest_rate", number(yield.retest_rate)},
                  {"retest_recovery",
                   yield.retest_recovery ? number(*yield.retest_recovery) : Json(nullptr)}};
}

std::string share_text(const quality::Share& share) {
    return fmt::format("{} ({:.1f} to {:.1f} %)", percent(share.value), 100.0 * share.wilson.low,
                       100.0 * share.wilson.high);
}

}  // namespace padtrim::answers
