#include "station/engine/route.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace padtrim::engine {
namespace {

using Places = std::vector<language::PanelPlace>;
using Route = std::vector<std::size_t>;

// Shorter by less is rounding.
constexpr double least_gain = 1e-9;

double apart(const Places& places, std::size_t a, std::size_t b) {
    return std::hypot((places[a].x - places[b].x).value(), (places[a].y - places[b].y).value());
}

double length(const Places& places, const Route& route) {
    double sum = 0.0;
    for (std::size_t i = 1; i < route.size(); ++i) sum += apart(places, route[i - 1], route[i]);
    return sum;
}

bool take_if_shorter(const Places& places, Route& route, const Route& other) {
    if (length(places, other) > length(places, route) - least_gain) return false;
    route = other;
    return true;
}

bool reverse_a_stretch(const Places& places, Route& route) {
    for (std::size_t from = 0; from + 1 < route.size(); ++from)
        for (std::size_t to = from + 2; to <= route.size(); ++to) {
            Route other = route;
            std::reverse(other.begin() + static_cast<std::ptrdiff_t>(from),
                         other.begin() + static_cast<std::ptrdiff_t>(to));
            if (take_if_shorter(places, route, other)) return true;
        }
    return false;
}

bool move_a_stretch(const Places& places, Route& route) {
    for (std::size_t size = 1; size <= 3 && size < route.size(); ++size)
        for (std::size_t from = 0; from + size <= route.size(); ++from) {
            Route rest = route;
            const auto first = rest.begin() + static_cast<std::ptrdiff_t>(from);
            const Route stretch(first, first + static_cast<std::ptrdiff_t>(size));
            rest.erase(first, first + static_cast<std::ptrdiff_t>(size));
            for (std::size_t to = 0; to <= rest.size(); ++to) {
                Route other = rest;
                other.insert(other.begin() + static_cast<std::ptrdiff_t>(to), stretch.begin(),
                             stretch.end());
                if (take_if_shorter(places, route, other)) return true;
            }
        }
    return false;
}

Route nearest_neighbours(const Places& places, std::size_t first) {
    Route route = {first};
    std::vector<bool> been(places.size(), false);
    been[first] = true;
    while (route.size() < places.size()) {
        std::size_t next = places.size();
        for (std::size_t i = 0; i < places.size(); ++i) {
            if (been[i]) continue;
            if (next == places.size() ||
                apart(places, route.back(), i) < apart(places, route.back(), next))
                next = i;
        }
        been[next] = true;
        route.push_back(next);
    }
    return route;
}

// Above this many keys improving takes longer than it saves.
constexpr std::size_t most_improved = 40;

Route improved(const Places& places, Route route) {
    if (route.size() > most_improved) return route;
    while (reverse_a_stretch(places, route) || move_a_stretch(places, route)) {
    }
    return route;
}

}  // namespace

std::vector<std::size_t> short_route(const std::vector<language::PanelPlace>& places) {
    Route best(places.size());
    std::iota(best.begin(), best.end(), std::size_t{0});
    (void)take_if_shorter(places, best, improved(places, best));
    for (std::size_t i = 0; i < std::min(places.size(), most_improved); ++i)
        (void)take_if_shorter(places, best, improved(places, nearest_neighbours(places, i)));
    return best;
}

Millimetre length_of(const std::vector<language::PanelPlace>& places,
                     const std::vector<std::size_t>& route) {
    return Millimetre(length(places, route));
}

}  // namespace padtrim::engine
