#include "db/quality/yield.hpp"

#include <limits>

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

double ratio(std::uint32_t part, std::uint32_t whole) {
    return static_cast<double>(part) / static_cast<double>(whole);
}

bool consistent(const record::YieldCount& count) {
    return count.retested <= count.units &&
           count.rejected_first + count.first_pass <= count.units &&
           count.recovered <= count.rejected_first && count.recovered <= count.final_pass;
}

}  // namespace

Checked<Share> share_of(const statistics::Counted& counted, double coverage) {
    const auto wilson = statistics::wilson_interval(counted.part, counted.whole, coverage);
    if (!wilson) return wilson.error();
    const auto exact = statistics::clopper_pearson_interval(counted.part, counted.whole, coverage);
    if (!exact) return exact.error();
    if (counted.whole > std::numeric_limits<std::uint32_t>::max()) return Flaw::out_of_domain;
    const auto part = static_cast<std::uint32_t>(counted.part);
    const auto whole = static_cast<std::uint32_t>(counted.whole);
    return Share{part, whole, ratio(part, whole), *wilson, *exact};
}

Checked<Yield> yield_of(const record::YieldCount& count, double coverage) {
    const Checked<Share> first = share_of({count.first_pass, count.units}, coverage);
    if (!first) return first.error();
    const Checked<Share> last = share_of({count.final_pass, count.units}, coverage);
    if (!last) return last.error();
    if (!consistent(count)) return Flaw::out_of_domain;
    Yield yield;
    yield.first_pass = *first;
    yield.final_pass = *last;
    yield.retest_rate = ratio(count.retested, count.units);
    if (count.rejected_first > 0)
        yield.retest_recovery = ratio(count.recovered, count.rejected_first);
    return yield;
}

}  // namespace padtrim::quality
