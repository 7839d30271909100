#include "station/answers/sheet_findings.hpp"

#include <algorithm>
#include <array>
#include <set>

#include <boost/json/object.hpp>

#include "db/quality/names.hpp"

namespace padtrim::answers {

namespace {

using Found = boost::json::object;
using quality::Severity;
using quality::Whose;

Whose whose(const PlaceDrift& place) {
    const bool told = place.station && place.station->shared;
    return told ? place.station->shared->whose : Whose::not_distinguishable;
}
bool of_station(const PlaceDrift& place) {
    return whose(place) == Whose::station || whose(place) == Whose::station_and_standard;
}

bool drifts(const PlaceDrift& place, double risk) {
    const bool stands_out =
        place.finding && place.finding->kind != quality::Drift::not_distinguishable;
    return stands_out || (place.wander && place.wander->significance < risk);
}

// Where the station moved, what its units show is the product's only beyond that.
bool of_product(const PlaceDrift& place, double risk) {
    if (of_station(place)) return place.station->product && place.station->product->distinguishable;
    return drifts(place, risk);
}

const quality::FitForTolerance* fit_of(const GaugePlace& place) {
    if (place.crossed && place.crossed->fit) return &*place.crossed->fit;
    if (place.type_1 && place.type_1->fit) return &*place.type_1->fit;
    return nullptr;
}

// Most lenient first.
constexpr std::array by_strictness = {Severity::reduced, Severity::normal, Severity::tightened,
                                      Severity::stopped};
std::size_t strictness(const SamplingStanding& standing) {
    const auto* at =
        std::find(by_strictness.begin(), by_strictness.end(), standing.switching.severity());
    return static_cast<std::size_t>(at - by_strictness.begin());
}

// The lot from which on inspection has been what it is; none: it begins with the next.
Json since_lot(const SamplingStanding& standing) {
    const auto& lots = standing.plan.lots;
    const std::string now(quality::name_of(standing.switching.severity()));
    const auto other = std::find_if(lots.rbegin(), lots.rend(),
                                    [&](const auto& lot) { return lot.severity != now; });
    return other == lots.rbegin() ? Json(nullptr) : text(std::prev(other)->lot);
}

}  // namespace

Json finding_of(const YieldAnswer& answer) {
    if (answer.alike) {
        const double chance = answer.alike->significance;
        return Found{{"kind", chance < differing_chance ? "differ" : "alike"},
                     {"chance", number(chance)},
                     {"risk", differing_chance}};
    }
    if (!answer.whole || !answer.whole->yield) return nullptr;
    const quality::Share& share = answer.whole->yield->first_pass;
    return Found{{"kind", "yield"},
                 {"share", number(share.value)},
                 {"passed", share.part},
                 {"units", share.whole}};
}

Json finding_of(const CapabilityAnswer& answer) {
    if (answer.places.empty() || !answer.places.front().figures) return nullptr;
    const PlaceCapability& worst = answer.places.front();
    const auto& index = worst.figures->performance.nearest;
    return Found{{"kind", "least"},
                 {"index", number(index.value)},
                 {"low", index.low ? number(*index.low) : Json(nullptr)},
                 {"high", index.high ? number(*index.high) : Json(nullptr)},
                 {"check", text(worst.place.check)},
                 {"where", text(where_of(worst.place, answer.plan))}};
}

Json finding_of(const ControlAnswer& answer) {
    if (answer.places.empty()) return nullptr;
    const auto signalling = std::count_if(answer.places.begin(), answer.places.end(),
                                          [](const auto& place) { return place.signals() > 0; });
    return Found{{"kind", signalling > 0 ? "signals" : "steady"},
                 {"n", signalling},
                 {"of", answer.places.size()}};
}

Json finding_of(const DriftAnswer& answer) {
    if (answer.places.empty()) return nullptr;
    std::size_t station = 0, product = 0, told = 0;
    std::set<std::string> keys, drifting;
    for (const PlaceDrift& place : answer.places) {
        const bool own = of_product(place, answer.risk), shared = of_station(place);
        station += shared ? 1 : 0;
        product += own ? 1 : 0;
        told += place.finding ? 1 : 0;
        keys.insert(place.place.key);
        if (own || shared) drifting.insert(place.place.key);
    }
    const char* const kind = station > 0 && product > 0 ? "both"
                             : station > 0              ? "station"
                             : product > 0              ? "product"
                             : told > 0                 ? "steady"
                                                        : "too few";
    return Found{{"kind", kind},
                 {"n", drifting.size()},
                 {"of", keys.size()},
                 {"station", station},
                 {"product", product}};
}

Json finding_of(const GaugeAnswer& answer) {
    const quality::FitForTolerance* worst = nullptr;
    const GaugePlace* at = nullptr;
    std::size_t places = 0, unfit = 0;
    for (const GaugePlace& place : answer.places) {
        const auto* fit = fit_of(place);
        if (fit == nullptr) continue;
        ++places;
        unfit += fit->fit ? 0 : 1;
        if (worst != nullptr && fit->q <= worst->q) continue;
        worst = fit;
        at = &place;
    }
    if (worst == nullptr) return nullptr;
    return Found{{"kind", unfit == 0 ? "fit" : "not fit"},
                 {"share", number(worst->q)},
                 {"check", text(at->place.check)},
                 {"where", text(where_of(at->place, answer.plan))},
                 {"n", unfit},
                 {"of", places}};
}

Json finding_of(const InDoubt& answer) {
    if (!answer.blocking) return Found{{"kind", answer.checks > 0 ? "trusted" : "unchecked"}};
    return Found{{"kind", "doubt"}, {"n", answer.units.size()}, {"changed", answer.would_change()}};
}

Json finding_of(const Dispositions& answer) {
    const bool one = answer.which.size() == 1;
    return Found{{"kind", "units"},
                 {"which", one ? text(record::name_of(answer.which.front())) : Json("waiting")},
                 {"n", answer.units.size()},
                 {"more", answer.more}};
}

Json finding_of(const std::vector<SamplingStanding>& standings) {
    if (standings.empty()) return nullptr;
    const auto strictest = std::max_element(
        standings.begin(), standings.end(),
        [](const auto& a, const auto& b) { return strictness(a) < strictness(b); });
    return Found{{"kind", "inspection"},
                 {"product", text(strictest->plan.product)},
                 {"step", text(strictest->plan.step)},
                 {"severity", quality::name_of(strictest->switching.severity())},
                 {"since", since_lot(*strictest)},
                 {"of", standings.size()}};
}

Json finding_of(const std::vector<record::AuditEntry>& entries) {
    return Found{{"kind", "acts"}, {"n", entries.size()}};
}

Json finding_of(const TouchedUnits& answer) {
    return Found{{"kind", "touched"}, {"n", answer.units}, {"runs", answer.runs.size()}};
}

}  // namespace padtrim::answers
