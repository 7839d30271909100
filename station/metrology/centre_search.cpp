#include "station/metrology/centre_search.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace padtrim::metrology {

namespace {

// Far above what any key takes; a curve that never settles must not move a finger for ever.
constexpr unsigned most_looks = 200;
// A second way that ends further from the first has found nothing. Common practice, no source.
constexpr double most_of_width = 0.25;
// Below the reach by less than this counts as within it.
constexpr double rounding = 1e-9;

std::string in_mm(double length) {
    char text[32];
    std::snprintf(text, sizeof text, "%.1f mm", length);
    return text;
}

}  // namespace

CentreSearch::CentreSearch(const SearchWish& wish) : wish_(wish), at_(wish_.start) {
    const bool sound = wish_.step.value() > 0.0 && wish_.resolution.value() > 0.0;
    if (sound)
        decide();
    else
        fail("the steps of a search have to be above zero.");
}

void CentreSearch::note(double change) {
    if (!next_) return;
    const double place = way_ == Way::y ? next_->y.value() : next_->x.value();
    next_.reset();
    ++found_.looks;
    if (!std::isfinite(change)) return fail("a look gave no number.");
    samples_[place] = change;
    found_.change = std::max(found_.change, change);
    if (found_.looks >= most_looks) return fail("the counts never make two edges.");
    decide();
}

double CentreSearch::half() const {
    double largest = 0.0;
    for (const auto& [place, change] : samples_) largest = std::max(largest, change);
    return 0.5 * largest;
}

// From the largest change outwards: the last place above half of it and the first below.
std::optional<CentreSearch::Edge> CentreSearch::edge(int side) const {
    const auto larger = [](const auto& a, const auto& b) { return a.second < b.second; };
    auto at = std::max_element(samples_.begin(), samples_.end(), larger);
    const double limit = half();
    while (true) {
        const double inside = at->first;
        if (side < 0) {
            if (at == samples_.begin()) return std::nullopt;
            --at;
        } else if (++at == samples_.end()) {
            return std::nullopt;
        }
        if (at->second < limit) return Edge{inside, at->first};
    }
}

// Straight between the two places.
double CentreSearch::crossing(const Edge& edge) const {
    const double in = samples_.at(edge.inside), out = samples_.at(edge.outside);
    return edge.inside + (edge.outside - edge.inside) * (in - half()) / (in - out);
}

bool CentreSearch::may_look(double place) const {
    const bool y = way_ == Way::y;
    const double start = (y ? wish_.start.y : wish_.start.x).value();
    const double reach = (y ? wish_.reach_y : wish_.reach_x).value();
    const double low = (y ? wish_.lowest.y : wish_.lowest.x).value();
    const double high = (y ? wish_.highest.y : wish_.highest.x).value();
    return std::abs(place - start) <= reach + rounding && place >= low - rounding &&
           place <= high + rounding;
}

void CentreSearch::look_at(double place) {
    if (!may_look(place)) {
        const double start = (way_ == Way::y ? wish_.start.y : wish_.start.x).value();
        return fail("the counts do not fall to half of their change within " +
                    in_mm(std::abs(place - start)) + " of the start along " +
                    (way_ == Way::y ? "Y" : "X") +
                    ", or the finger's travel ends before. Start nearer to the key's middle; "
                    "check its size in the register map.");
    }
    next_ = at_;
    (way_ == Way::y ? next_->y : next_->x) = Millimetre(place);
}

void CentreSearch::decide() {
    if (samples_.empty()) return look_at((way_ == Way::y ? at_.y : at_.x).value());
    if (samples_.size() == 1 && samples_.begin()->second < wish_.least)
        return fail(
            "no touch is felt where the search starts. Jog the finger over the key, or "
            "nearer to the panel.");
    const double step = wish_.step.value();
    const auto low = edge(-1), high = edge(+1);
    if (!low) return look_at(samples_.begin()->first - step);
    if (!high) return look_at(samples_.rbegin()->first + step);
    const Edge& wider = low->inside - low->outside > high->outside - high->inside ? *low : *high;
    if (std::abs(wider.outside - wider.inside) > wish_.resolution.value())
        return look_at(0.5 * (wider.inside + wider.outside));
    finish(crossing(*low), crossing(*high));
}

void CentreSearch::finish(double low, double high) {
    const Millimetre middle(0.5 * (low + high)), width(high - low);
    samples_.clear();
    if (way_ == Way::y) {
        at_.y = middle;
        found_.width_y = width;
        way_ = Way::second_x;
        return decide();
    }
    const Millimetre before = at_.x;
    at_.x = middle;
    if (way_ == Way::first_x) {
        found_.width_x = width;
        way_ = Way::y;
        return decide();
    }
    found_.repeat = middle - before;
    found_.centre = at_;
    if (std::abs(found_.repeat.value()) > most_of_width * std::min(width, found_.width_x).value())
        return fail("two ways along X end " + in_mm(std::abs(found_.repeat.value())) +
                    " apart: what was seen is noise, or the key looks different on its two sides. "
                    "Hold the finger nearer, or teach another key.");
    found_.width_x = width;
    way_ = Way::none;
}

void CentreSearch::fail(const std::string& what) {
    next_.reset();
    way_ = Way::none;
    problem_ = what;
}

TaughtOrigin origin_of(std::span<const TaughtKey> keys) {
    double x = 0.0, y = 0.0;
    for (const TaughtKey& key : keys) {
        x += (key.found.x - key.drawn.x).value();
        y += (key.found.y - key.drawn.y).value();
    }
    const auto count = static_cast<double>(keys.size());
    TaughtOrigin out{{Millimetre(x / count), Millimetre(y / count)}, Millimetre(0.0), ""};
    for (const TaughtKey& key : keys) {
        const double off = std::hypot((key.found.x - key.drawn.x - out.origin.x).value(),
                                      (key.found.y - key.drawn.y - out.origin.y).value());
        if (!out.key.empty() && off <= out.farthest.value()) continue;
        out.farthest = Millimetre(off);
        out.key = key.key;
    }
    return out;
}

}  // namespace padtrim::metrology
