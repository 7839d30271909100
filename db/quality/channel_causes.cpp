#include "db/quality/channel_causes.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <optional>

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

struct Quantity {
    const char* name;
    const std::vector<ChangeCell>* cells;
    WhoChanged who;
    const Explanation* by_others = nullptr;  // of several that fit, the one that others tell, too
    [[nodiscard]] const Explanation* told() const {
        return who.told() != nullptr ? who.told() : by_others;
    }
    [[nodiscard]] const ChangeCause* cause(Changed what, std::uint16_t nest) const {
        const auto* explanation = told();
        if (explanation == nullptr) return nullptr;
        const auto found = std::find_if(
            explanation->begin(), explanation->end(),
            [&](const ChangeCause& cause) { return cause.what == what && cause.nest == nest; });
        return found == explanation->end() ? nullptr : &*found;
    }
};

// How far the shift lies from the line through 0 in this direction, as chi-squared of one degree:
// what is left over at right angles to it, by its own variance.
double off_direction(const LineShift& shift, double gain, double offset) {
    const double rest = shift.gain * offset - shift.offset * gain;
    const double both = shift.correlation * shift.gain_standard * shift.offset_standard;
    const double variance = offset * offset * shift.gain_standard * shift.gain_standard +
                            gain * gain * shift.offset_standard * shift.offset_standard -
                            2.0 * gain * offset * both;
    return variance > 0.0 ? rest * rest / variance : 0.0;
}

bool explains(const LineShift& shift, double gain, double offset, double risk) {
    const double t = std::sqrt(off_direction(shift, gain, offset));
    const auto tail = statistics::student_probability(-t, shift.degrees);
    return tail && 2.0 * *tail >= risk;
}

// The size of a cause in a quantity where it need not be significant.
ChangeCause size_of(const Quantity& quantity, const ChangeCause& wanted) {
    Explanation causes;
    if (const auto* told = quantity.told()) causes = *told;
    const auto same = [&](const ChangeCause& cause) { return cause.same_as(wanted); };
    if (std::none_of(causes.begin(), causes.end(), same)) causes.push_back(wanted);
    const auto sizes = sizes_of(*quantity.cells, causes);
    if (!sizes) return wanted;
    return *std::find_if(sizes->begin(), sizes->end(), same);
}

double mean_of(const std::vector<double>& values) {
    const auto mean = statistics::Moments::of(values).mean();
    return mean ? *mean : 0.0;
}

void add_cell(std::vector<ChangeCell>& cells, const SpecimenSeries& of, const WatchedValues& values,
              double scale) {
    if (scale == 0.0) return;
    auto cell = change_cell(of.specimen, of.nest, values.baseline, values.recent);
    if (!cell) return;
    cell->value /= scale;
    cell->standard /= std::abs(scale);
    cells.push_back(std::move(*cell));
}

// How gain and offset go together within the baselines, pooled.
class Companions {
  public:
    void add(std::span<const double> gains, std::span<const double> offsets) {
        if (gains.size() != offsets.size() || gains.empty()) return;
        const double gain = *statistics::Moments::of(gains).mean();
        const double offset = *statistics::Moments::of(offsets).mean();
        for (std::size_t i = 0; i < gains.size(); ++i) {
            both_ += (gains[i] - gain) * (offsets[i] - offset);
            gains_ += (gains[i] - gain) * (gains[i] - gain);
            offsets_ += (offsets[i] - offset) * (offsets[i] - offset);
        }
    }
    [[nodiscard]] double correlation() const {
        const double scale = std::sqrt(gains_ * offsets_);
        return scale > 0.0 ? both_ / scale : 0.0;
    }

  private:
    double both_ = 0.0, gains_ = 0.0, offsets_ = 0.0;
};

class Concluding {
  public:
    Concluding(const ChannelWatch& watch, double risk) : watch_(watch), risk_(risk) {
        add("gain", watch.gain);
        add("offset", watch.offset);
        add("touch response", watch.touch);
    }

    Checked<ChannelCauses> conclude() {
        if (quantities_.empty()) return Flaw::too_few_points;
        share_ = risk_ / static_cast<double>(quantities_.size());
        for (Quantity& quantity : quantities_) {
            auto who = who_changed(*quantity.cells, share_);
            if (!who) return who.error();
            quantity.who = std::move(*who);
        }
        for (Quantity& quantity : quantities_) listen_to_others(quantity);
        for (const Quantity& quantity : quantities_) note(quantity);
        conclude_line();
        conclude_touch();
        conclude_standards();
        return std::move(answer_);
    }

  private:
    void add(const char* name, const std::vector<ChangeCell>& cells) {
        if (cells.size() > 1) quantities_.push_back({name, &cells, {}});
    }
    [[nodiscard]] const Quantity* quantity(std::string_view name) const {
        for (const Quantity& each : quantities_)
            if (each.name == name) return &each;
        return nullptr;
    }
    // Whoever is told by another quantity may well have changed this one, too: of the explanations
    // that fit, the one that needs the fewest causes more.
    void listen_to_others(Quantity& quantity) {
        if (quantity.who.told() != nullptr) return;
        bool ambiguous = false;
        const auto known = [&](const ChangeCause& cause) {
            return std::any_of(quantities_.begin(), quantities_.end(), [&](const Quantity& other) {
                const auto* told = other.who.told();
                return told != nullptr &&
                       std::any_of(told->begin(), told->end(),
                                   [&](const auto& c) { return c.same_as(cause); });
            });
        };
        const Explanation* only = nullptr;
        std::ptrdiff_t fewest = 0;
        for (const Explanation& each : quantity.who.fitting) {
            const auto more = std::count_if(each.begin(), each.end(), std::not_fn(known));
            if (more == static_cast<std::ptrdiff_t>(each.size())) continue;
            if (only != nullptr && more == fewest) ambiguous = true;
            if (only != nullptr && more >= fewest) continue;
            ambiguous = false;
            fewest = more;
            only = &each;
        }
        if (ambiguous) return;
        quantity.by_others = only;
    }
    void note(const Quantity& quantity) {
        answer_.significance = std::min(answer_.significance, quantity.who.significance);
        if (!quantity.who.changed) return;
        answer_.changed = true;
        if (quantity.told() != nullptr) return;
        answer_.distinguishable = false;
        answer_.not_told.emplace_back(quantity.name);
    }
    void tell(ChannelCauseKind kind, const Quantity& quantity, const ChangeCause& cause) {
        ChannelCause told;
        told.kind = kind;
        told.nest = cause.nest;
        told.standard = cause.standard;
        told.quantity = quantity.name;
        told.size = cause.size;
        told.standard_uncertainty = cause.standard_uncertainty;
        answer_.causes.push_back(std::move(told));
    }

    // Of each nest, and of all of them together (0), what its line says.
    void conclude_line() {
        std::map<std::uint16_t, ChangeCause> places;
        for (const char* name : {"gain", "offset"}) {
            const Quantity* of = quantity(name);
            if (of == nullptr || of->told() == nullptr) continue;
            for (const ChangeCause& cause : *of->told()) {
                if (cause.what == Changed::station || cause.what == Changed::nest)
                    places.try_emplace(cause.nest, cause);
                if (cause.what == Changed::product)
                    tell(ChannelCauseKind::product_line, *of, cause);
            }
        }
        for (const auto& [nest, cause] : places) conclude_nest(cause);
    }

    void conclude_nest(const ChangeCause& cause) {
        const Quantity *gain = quantity("gain"), *offset = quantity("offset");
        // One quantity alone cannot tell one from the other.
        if (gain == nullptr || offset == nullptr)
            return tell(ChannelCauseKind::reference_or_stray, gain != nullptr ? *gain : *offset,
                        cause);
        const ChangeCause of_gain = size_of(*gain, cause), of_offset = size_of(*offset, cause);
        const LineShift shift{of_gain.size,       of_gain.standard_uncertainty,
                              of_offset.size,     of_offset.standard_uncertainty,
                              watch_.correlation, std::min(of_gain.degrees, of_offset.degrees)};
        const auto which = reference_or_stray(shift, watch_.references, share_);
        // Without sensitivities a gain that changed is a reference's.
        const auto kind =
            watch_.references.empty() && !which.stray ? ChannelCauseKind::reference : which.kind();
        const bool by_offset = kind == ChannelCauseKind::stray;
        tell(kind, by_offset ? *offset : *gain, by_offset ? of_offset : of_gain);
        answer_.causes.back().references = which.references;
        if (kind == ChannelCauseKind::reference_or_stray) {
            answer_.distinguishable = false;
            answer_.not_told.emplace_back("reference or stray");
        }
    }

    void conclude_touch() {
        const Quantity* touch = quantity("touch response");
        if (touch == nullptr || touch->told() == nullptr) return;
        for (const ChangeCause& cause : *touch->told()) {
            if (cause.what == Changed::product) {
                // What the electronics did shows in gain as well.
                const Quantity* gain = quantity("gain");
                if (gain == nullptr || gain->cause(Changed::product, 0) == nullptr)
                    tell(ChannelCauseKind::over_electrode, *touch, cause);
            } else if (cause.what != Changed::standard) {
                tell(ChannelCauseKind::finger, *touch, cause);
            }
        }
    }

    // Each standard once, by what shows it first.
    void conclude_standards() {
        std::vector<std::string> known;
        for (const Quantity& each : quantities_) {
            if (each.told() == nullptr) continue;
            for (const ChangeCause& cause : *each.told()) {
                if (cause.what != Changed::standard ||
                    std::count(known.begin(), known.end(), cause.standard) > 0)
                    continue;
                known.push_back(cause.standard);
                tell(ChannelCauseKind::standard, each, cause);
            }
        }
    }

    const ChannelWatch& watch_;
    double risk_, share_ = risk_;  // a quantity's
    std::vector<Quantity> quantities_;
    ChannelCauses answer_;
};

}  // namespace

ChannelCauseKind ReferenceOrStray::kind() const {
    if (stray) {
        return references.empty() ? ChannelCauseKind::stray : ChannelCauseKind::reference_or_stray;
    }
    return references.empty() ? ChannelCauseKind::reference_and_stray : ChannelCauseKind::reference;
}

ChannelWatch watch_of(std::span<const SpecimenSeries> series,
                      std::vector<ReferenceEffect> references) {
    ChannelWatch watch;
    watch.references = std::move(references);
    Companions together;
    for (const SpecimenSeries& each : series) {
        const double gain = mean_of(each.gain.baseline), touch = mean_of(each.touch.baseline);
        add_cell(watch.gain, each, each.gain, gain);
        add_cell(watch.offset, each, each.offset, gain);
        add_cell(watch.touch, each, each.touch, touch);
        // The product's gains and offsets differ for reasons of their own.
        if (!each.specimen.empty()) together.add(each.gain.baseline, each.offset.baseline);
    }
    watch.correlation = together.correlation();
    return watch;
}

ReferenceOrStray reference_or_stray(const LineShift& shift,
                                    const std::vector<ReferenceEffect>& references, double risk) {
    ReferenceOrStray which;
    which.stray = explains(shift, 0.0, 1.0, risk);
    for (const ReferenceEffect& each : references)
        if (explains(shift, each.gain, each.offset, risk))
            which.references.push_back(each.reference);
    return which;
}

Checked<ChannelCauses> channel_causes(const ChannelWatch& watch, double risk) {
    if (!(risk > 0.0 && risk < 1.0)) return Flaw::out_of_domain;
    return Concluding(watch, risk).conclude();
}

}  // namespace padtrim::quality
