#include "db/quality/yield.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

double ratio(std::uint32_t part, std::uint32_t whole) {
    return static_cast<double>(part) / static_cast<double>(whole);
}

Checked<Share> share(std::uint32_t part, std::uint32_t whole, double coverage) {
    const auto wilson = statistics::wilson_interval(part, whole, coverage);
    if (!wilson) return wilson.error();
    const auto exact = statistics::clopper_pearson_interval(part, whole, coverage);
    if (!exact) return exact.error();
    return Share{part, whole, ratio(part, whole), *wilson, *exact};
}

bool consistent(const record::YieldCount& count) {
    return count.retested <= count.units &&
           count.rejected_first + count.first_pass <= count.units &&
           count.recovered <= count.rejected_first && count.recovered <= count.final_pass;
}

}  // namespace

Checked<Yield> yield_of(const record::YieldCount& count, double coverage) {
    const Checked<Share> first = share(count.first_pass, count.units, coverage);
    if (!first) return first.error();
    const Checked<Share> last = share(count.final_pass, count.units, coverage);
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
