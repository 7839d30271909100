// What each step says by itself: values that its parameters and limits cannot have together.
#include <algorithm>
#include <cmath>

#include "recipes/document/quantity_text.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/recipe_limits.hpp"

namespace padtrim::language {
namespace {

using document::Document;

constexpr std::size_t fewest_references = 4;

// Motion controllers of fingers tell places to hundredths: common practice, no source.
constexpr Millimetre finest_interval(0.01);
// A curve of more looks takes minutes a key and tells no more.
constexpr double most_looks = 1000.0;
// A way that lasts longer could not be ended in time when it has to be.
constexpr double longest_way_s = 15.0;

void check_fit(Document& document, std::size_t index, std::vector<std::string> names) {
    const auto path = item_path("step", index, "references");
    if (!document.sound(path)) return;
    std::sort(names.begin(), names.end());
    const auto twice = std::adjacent_find(names.begin(), names.end());
    if (twice != names.end())
        return document.complain(path, "reference " + in_quotes(*twice) + " stands here twice",
                                 "Name each reference once.");
    if (names.size() < fewest_references)
        document.complain(
            path,
            std::to_string(names.size()) + " references cannot show whether a channel is linear",
            "Name at least 4 references of different size.");
}

void check_settling(Document& document, std::size_t index, const GainOffsetStep& step) {
    if (step.settling.limited() && step.scans < fewest_scans_to_settle)
        document.complain(item_path("step", index, "limits.settling"),
                          std::to_string(step.scans) +
                              " scans at a state have no two halves that could be compared",
                          "Take at least 4 scans at each state, or leave the limit out.");
}

void check_keys_once(Document& document, std::size_t index, std::vector<std::string> names) {
    std::sort(names.begin(), names.end());
    const auto twice = std::adjacent_find(names.begin(), names.end());
    if (twice != names.end())
        document.complain(item_path("step", index, "keys"),
                          "key " + in_quotes(*twice) + " stands here twice", "Name each key once.");
}

void check_looks(Document& document, std::size_t index, const TouchStep& step) {
    if (step.looks > 1 && (step.scans % step.looks != 0 || step.scans / step.looks < 2))
        document.complain(item_path("step", index, "looks"),
                          std::to_string(step.scans) + " scans cannot be taken in " +
                              std::to_string(step.looks) + " equal parts of 2 or more",
                          "Let scans be a multiple of looks, at least twice as many.");
}

// The reference that verifies must not have been part of any fit.
void check_held_out(Document& document, const Recipe& recipe, std::size_t index,
                    const VerifyStep& verify) {
    const auto path = item_path("step", index, "reference");
    if (!document.sound(path)) return;
    for (const auto& step : recipe.steps) {
        const auto* fit = std::get_if<GainOffsetStep>(&step.body);
        if (fit == nullptr ||
            std::count(fit->references.begin(), fit->references.end(), verify.reference) == 0)
            continue;
        document.complain(path,
                          "reference " + in_quotes(verify.reference) +
                              " was part of the fit in step " + in_quotes(step.name) +
                              ", so it proves nothing",
                          "Verify with a reference that the fit has not seen.");
    }
}

void check_interval(Document& document, std::size_t index, Millimetre from, Millimetre interval) {
    const auto path = item_path("step", index, "interval");
    if (!document.sound(path) || !document.sound(item_path("step", index, "from"))) return;
    if (interval < finest_interval)
        return document.complain(
            path, "no finger tells heights as finely as this",
            "Write at least " + document::quantity_text(finest_interval.value(), "mm") + '.');
    if (from / interval > most_looks)
        document.complain(path,
                          "from there to the surface this makes " +
                              document::rounded(std::ceil(from / interval)) + " looks",
                          "Write a larger interval, or begin lower: 1000 looks are allowed.");
}

// The looks begin at `from`: what a product reports farther away is not seen.
void check_heights(Document& document, std::size_t index, Millimetre from, Millimetre interval,
                   const Interval<Millimetre>& distance) {
    check_interval(document, index, from, interval);
    const auto path = item_path("step", index, "limits.operating_distance");
    if (!document.sound(path) || !document.sound(item_path("step", index, "from"))) return;
    const auto farthest = std::max(distance.low, distance.high);
    if (!farthest || *farthest <= from) return;
    document.complain(path,
                      "nothing is looked for above " + document::quantity_text(from.value(), "mm") +
                          ", where this step begins",
                      "Write a limit below it, or a larger from.");
}

void check_surface(Document& document, std::size_t index, const ApproachStep& step) {
    const auto path = item_path("step", index, "limits.surface");
    if (!document.sound(path) || !document.sound(item_path("step", index, "from"))) return;
    const bool below = step.surface.high && step.surface.high->value() < 0.0;
    const bool above = step.surface.low && *step.surface.low > step.from;
    if (below || above)
        document.complain(path,
                          "the surface is looked for between 0 and " +
                              document::quantity_text(step.from.value(), "mm"),
                          "Write a limit that holds heights between them.");
}

void check_way(Document& document, std::size_t index, double seconds) {
    const auto path = item_path("step", index, "speed");
    if (seconds <= longest_way_s || !document.sound(path) ||
        !document.sound(item_path("step", index, "from")))
        return;
    document.complain(path,
                      "this approach lasts " + document::rounded(seconds) + " s; at most " +
                          document::rounded(longest_way_s) + " s can be broken off in time",
                      "Begin lower, or faster.");
}

// A limit that a perfect unit would break is a mistake in the limit.
template <class Q>
void check_holds(Document& document, std::size_t index, std::string_view key,
                 const Interval<Q>& limit, double perfect) {
    const auto path = item_path("step", index, "limits." + std::string(key));
    if (!limit.limited() || !document.sound(path)) return;
    const bool low = !limit.low || limit.low->value() < perfect;
    const bool high = !limit.high || limit.high->value() > perfect;
    if (low && high) return;
    document.complain(
        path,
        "a perfect unit has " + document::quantity_text(perfect, Q::symbol()) +
            " and would fail this limit",
        "Write a limit that holds " + document::quantity_text(perfect, Q::symbol()) + " inside.");
}

// Quantities that are never negative cannot be at most zero.
template <class Q>
void check_reachable(Document& document, std::size_t index, std::string_view key,
                     const Interval<Q>& limit) {
    const auto path = item_path("step", index, "limits." + std::string(key));
    if (!limit.high || limit.high->value() > 0.0 || !document.sound(path)) return;
    document.complain(path, "no unit can be at or below 0 here", "Write a limit above 0.");
}

// Less noise is never worse: a lower end is a slip, most often "at least" for "at most".
void check_ends(Document& document, const PlacedLimits& placed) {
    for (const auto& check : declaration_of(placed.body).checks) {
        if (check.ends == Ends::either || !placed.holds(check.limit_key)) continue;
        const auto path = placed.path(check.limit_key);
        const auto limit = limit_of(placed.body, check.name);
        const bool upper = check.ends == Ends::upper;
        const auto& wrong = upper ? limit.low : limit.high;
        const auto& right = upper ? limit.high : limit.low;
        if (!wrong || !document.sound(path)) continue;
        const double end = right.value_or(*wrong);
        document.complain(
            path,
            "a limit of " + std::string(check.name) +
                (upper ? " has an upper end only: less is better"
                       : " has a lower end only: more is better"),
            "Write \"" +
                document::limit_text(upper ? document::Limit{{}, end} : document::Limit{end, {}},
                                     check.unit) +
                "\", say.");
    }
}

struct CheckBody {
    Document& document;
    const Recipe& recipe;
    std::size_t index;

    void operator()(const IdentifyStep&) const {}
    void operator()(const ContactStep& step) const {
        check_holds(document, index, "contact", step.contact, 100.0);
        check_reachable(document, index, "isolation", step.isolation);
    }
    void operator()(const GainOffsetStep& step) const {
        check_fit(document, index, step.references);
        check_reachable(document, index, "gain", step.gain);
        check_reachable(document, index, "non_linearity", step.non_linearity);
        check_reachable(document, index, "settling", step.settling);
        check_settling(document, index, step);
    }
    void operator()(const NoiseStep& step) const {
        check_reachable(document, index, "noise", step.noise);
    }
    void operator()(const TouchStep& step) const {
        check_keys_once(document, index, step.keys);
        check_looks(document, index, step);
        check_reachable(document, index, "response", step.response);
        check_reachable(document, index, "crosstalk", step.crosstalk);
        check_reachable(document, index, "signal_to_noise", step.signal_to_noise);
    }
    void operator()(const WriteTrimsStep&) const {}
    void operator()(const PowerCycleStep&) const {}
    void operator()(const VerifyStep& step) const {
        check_held_out(document, recipe, index, step);
        check_holds(document, index, "gain_error", step.gain_error, 0.0);
        check_holds(document, index, "offset_error", step.offset_error, 0.0);
    }
    void operator()(const WaitStep&) const {}
    void operator()(const AskStep&) const {}
    void operator()(const WarmUpStep& step) const {
        check_reachable(document, index, "drift", step.drift);
        const auto path = item_path("step", index, "longest");
        if (step.longest < step.interval && document.sound(path))
            document.complain(path, "the time is over before the second look",
                              "Write longest = at least the interval.");
    }
    void operator()(const LinkStep& step) const {
        check_reachable(document, index, "supply", step.supply);
        check_reachable(document, index, "reply_time", step.reply_time);
    }
    void operator()(const CrosstalkStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "crosstalk", step.crosstalk);
    }
    void operator()(const FrequencyStep& step) const {
        check_reachable(document, index, "departure", step.departure);
    }
    void operator()(const NonLinearityStep& step) const {
        check_fit(document, index, step.references);
        check_reachable(document, index, "non_linearity", step.non_linearity);
    }
    void operator()(const StuckKeyStep& step) const { check_keys_once(document, index, step.keys); }
    void operator()(const ApproachStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "operating_distance", step.operating_distance);
        check_heights(document, index, step.from, step.interval, step.operating_distance);
        check_surface(document, index, step);
    }
    void operator()(const ResponseStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "response_time", step.response_time);
        check_way(document, index, step.from.value() / step.speed.value());
    }
    void operator()(const SlowApproachStep& step) const {
        check_keys_once(document, index, step.keys);
        check_way(document, index, step.from.value() / step.speed.value());
    }
    void operator()(const ProximityStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "response", step.response);
        check_reachable(document, index, "operating_distance", step.operating_distance);
        check_heights(document, index, step.from, step.interval, step.operating_distance);
    }
    void operator()(const SweepStep& step) const {
        check_keys_once(document, index, step.keys);
        check_reachable(document, index, "non_linearity", step.non_linearity);
        check_reachable(document, index, "position_error", step.position_error);
    }
    void operator()(const HoverStep&) const {}
    void operator()(const WetPanelStep& step) const { check_keys_once(document, index, step.keys); }
};

}  // namespace

void check_step_values(Document& document, const Recipe& recipe) {
    for (std::size_t i = 0; i < recipe.steps.size(); ++i) {
        for (const auto& placed : limits_in(recipe.steps[i], i)) check_ends(document, placed);
        std::visit(CheckBody{document, recipe, i}, recipe.steps[i].body);
    }
}

}  // namespace padtrim::language
