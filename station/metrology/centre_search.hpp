// Where a key's centre is, from what its counts say with a finger held over places around it.
//
//   along X: step out to both sides until the change is below half of the largest seen, then halve
//            both edges; the centre is the middle between the two places of half the change
//   along Y: the same, over the X just found;  along X again, over the Y just found
//
// The middle of two edges needs no model of the electrode or of the finger, only that the response
// looks alike on both sides, as that of a key with two straight sides does; a peak would be flat
// and drowned in noise. The second way along X tells how well places repeat; one that ends further
// from the first than a quarter of the width has seen noise. Pure: it says where to look, and is
// told what was seen.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "recipes/quantity/quantity.hpp"

namespace padtrim::metrology {

struct Spot {
    Millimetre x, y;
    friend bool operator==(const Spot&, const Spot&) = default;
};

struct SearchWish {
    Spot start;
    Millimetre step, resolution;  // of a step out; to which an edge is halved
    Millimetre reach_x, reach_y;  // how far from the start a look may be
    Spot lowest, highest;         // looks lie within these in any case
    double least = 0.0;           // a change below is no touch
};

struct FoundCentre {
    Spot centre;
    Millimetre width_x, width_y;  // between the places of half the change
    Millimetre repeat;            // second X less the first
    double change = 0.0;          // the largest seen
    unsigned looks = 0;
};

class CentreSearch {
  public:
    explicit CentreSearch(const SearchWish& wish);
    // Where to look next; nothing when the search has ended.
    [[nodiscard]] std::optional<Spot> next() const { return next_; }
    // The change seen there, towards a touch.
    void note(double change);
    // When it has ended: what is wrong, "" when the centre was found.
    [[nodiscard]] const std::string& problem() const { return problem_; }
    [[nodiscard]] const FoundCentre& found() const { return found_; }

  private:
    using Samples = std::map<double, double>;  // place along the way -> change
    enum class Way { first_x, y, second_x, none };
    struct Edge {
        double inside, outside;  // places
    };
    void decide();
    void look_at(double place);
    void fail(const std::string& what);
    void finish(double low, double high);
    [[nodiscard]] std::optional<Edge> edge(int side) const;
    [[nodiscard]] double crossing(const Edge& edge) const;
    [[nodiscard]] double half() const;
    [[nodiscard]] bool may_look(double place) const;

    SearchWish wish_;
    Spot at_;  // the line of this way runs through it
    Way way_ = Way::first_x;
    Samples samples_;
    std::optional<Spot> next_;
    std::string problem_;
    FoundCentre found_;
};

// A key: where the register map has it on the panel, and where it was found.
struct TaughtKey {
    std::string key;
    Spot drawn, found;
};
// What places the panel with its corner where the keys agree best (least squares, no turning).
struct TaughtOrigin {
    Spot origin;
    Millimetre farthest;  // a key from where this origin puts it
    std::string key;      // that one
};
// `keys` is not empty.
[[nodiscard]] TaughtOrigin origin_of(std::span<const TaughtKey> keys);

}  // namespace padtrim::metrology
