// Histories of a station and its product: six shifts in control, then three with the injected
// causes, of which the newest lot is asked about. Then the quality team's question.
#include <algorithm>

#include "station/answers/reference_effects.hpp"
#include "tests/causes/station_checks.hpp"
#include "tests/causes/trials.hpp"

namespace padtrim::causes {

namespace {

constexpr int checks_before = 10, checks_after = 5, lots_before = 8, units_a_nest = 25;
constexpr double ageing_a_check = 0.0010;  // of the first standard's gain

// By channel.
using Series = std::array<std::vector<quality::SpecimenSeries>, channels>;

void keep(const Measured& measured, std::size_t place, bool recent, Series& series) {
    for (std::size_t c = 0; c < channels; ++c) {
        auto& one = series[c][place];
        const auto into = [&](quality::WatchedValues& values, double value) {
            (recent ? values.recent : values.baseline).push_back(value);
        };
        into(one.gain, measured[c].gain);
        into(one.offset, measured[c].offset);
        into(one.touch, measured[c].touch);
    }
}

void check_standards(Production& line, bool recent, Series& series) {
    std::size_t place = 0;
    for (std::size_t s = 0; s < standards; ++s)
        for (std::uint16_t nest = 1; nest <= nests; ++nest)
            keep(line.standard(s, nest), place++, recent, series);
}

Measured mean_of_lot(Production& line, std::uint16_t nest) {
    Measured mean(channels);
    for (int i = 0; i < units_a_nest; ++i) {
        const Measured unit = line.unit(nest);
        for (std::size_t c = 0; c < channels; ++c) {
            mean[c].gain += unit[c].gain / units_a_nest;
            mean[c].offset += unit[c].offset / units_a_nest;
            mean[c].touch += unit[c].touch / units_a_nest;
        }
    }
    return mean;
}

void make_lot(Production& line, bool recent, Series& series) {
    for (std::uint16_t nest = 1; nest <= nests; ++nest)
        keep(mean_of_lot(line, nest), standards * nests + nest - 1U, recent, series);
}

Series history_of(Production& line, const Wrong& later, bool ages) {
    Series series;
    for (auto& of_channel : series) {
        for (std::size_t s = 0; s < standards; ++s)
            for (std::uint16_t nest = 1; nest <= nests; ++nest)
                of_channel.push_back({name_of_standard(s), nest, {}, {}, {}});
        for (std::uint16_t nest = 1; nest <= nests; ++nest)
            of_channel.push_back({"", nest, {}, {}, {}});
    }
    for (int i = 0; i < checks_before; ++i) check_standards(line, false, series);
    for (int i = 0; i < lots_before; ++i) make_lot(line, false, series);
    line.wrong = later;
    for (int i = 0; i < checks_after; ++i) {
        if (ages) line.wrong.standard = ageing_a_check * (i + 1);
        check_standards(line, true, series);
    }
    make_lot(line, true, series);
    return series;
}

// Which of ours it is, and whether nest and name are those of the injection.
unsigned bit_of(const quality::ChannelCause& cause, std::size_t channel, const Wrong& injected,
                bool& right_place) {
    using Kind = quality::ChannelCauseKind;
    const auto in = [&](std::uint16_t nest) {
        right_place = right_place && channel == 0 && cause.nest == nest;
    };
    switch (cause.kind) {
        case Kind::reference:
            in(injected.step_nest);
            return step;
        case Kind::stray:
            in(injected.stray_nest);
            return stray;
        case Kind::reference_and_stray:
            in(injected.step_nest);
            in(injected.stray_nest);
            return step | stray;
        case Kind::standard:
            right_place = right_place && cause.standard == name_of_standard(0);
            return standard;
        case Kind::over_electrode:
            return product;
        default:
            return 0;
    }
}

}  // namespace

std::string words_of(unsigned causes) {
    if (causes == 0) return "nothing";
    std::string words;
    const auto add = [&](unsigned bit, const char* word) {
        if ((causes & bit) != 0) words += (words.empty() ? "" : " + ") + std::string(word);
    };
    add(step, "step");
    add(stray, "stray");
    add(product, "product");
    add(standard, "standard");
    return words;
}

const std::vector<unsigned>& injected_sets() {
    static const std::vector<unsigned> sets = {0,
                                               step,
                                               stray,
                                               product,
                                               standard,
                                               step | stray,
                                               step | product,
                                               step | standard,
                                               stray | product,
                                               stray | standard,
                                               product | standard};
    return sets;
}

int Said::histories() const {
    int sum = not_distinguishable;
    for (const int count : told) sum += count;
    return sum;
}

Said said_of(unsigned injected, int histories) {
    Said said;
    const auto plan = plan_of_line();
    for (int i = 0; i < histories; ++i) {
        Production line(plan, 1000U * (injected + 1U) + 100'000U * static_cast<unsigned>(i));
        Wrong later;
        later.step_nest = static_cast<std::uint16_t>(1 + i % 2);
        later.stray_nest = static_cast<std::uint16_t>(1 + i / 2 % 2);
        later.step = (injected & step) != 0 ? 0.003 : 0.0;
        later.stray = (injected & stray) != 0 ? 0.05 : 0.0;
        later.glue = (injected & product) != 0 ? 0.1 : 0.0;
        const Series series = history_of(line, later, (injected & standard) != 0);
        unsigned told = 0;
        bool distinguishable = true, right_place = true;
        for (std::size_t c = 0; c < channels; ++c) {
            auto watch = quality::watch_of(series[c], answers::reference_effects(*plan, 1, c));
            const auto causes = quality::channel_causes(watch, risk / channels).value();
            distinguishable = distinguishable && causes.distinguishable;
            for (const auto& cause : causes.causes) told |= bit_of(cause, c, later, right_place);
        }
        if ((told & ~injected) != 0) ++said.blamed;
        if (told != 0 && (told & ~injected) == 0 && !right_place) ++said.wrong_place;
        if (distinguishable)
            ++said.told[told];
        else
            ++said.not_distinguishable;
    }
    return said;
}

}  // namespace padtrim::causes
