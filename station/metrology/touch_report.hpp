// What each touch does to every key, and whether the sensing frequencies agree about it.
//
// Pure; from the same readings as the touch checks. The crosstalk matrix holds all keys, not only
// the neighbours that a limit watches. Frequencies are compared on changes divided by the line's
// gain at that frequency; a tone from outside disturbs one of them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/metrology/disturbance.hpp"
#include "station/metrology/judge.hpp"

namespace padtrim::metrology {

// Change of each key (its channel that moves most) over that of the touched key, %; frequency 0 up.
struct CrosstalkRow {
    std::string touched;
    std::vector<double> percent;   // a key, in the register map's order; 100 for the touched one
    std::vector<double> standard;  // of it; 0 for the touched one
};
struct CrosstalkMatrix {
    std::vector<std::string> keys;
    std::vector<CrosstalkRow> rows;  // the keys that were touched and respond
};
// Flaws: too_few_points when no key was touched or none responds.
[[nodiscard]] statistics::Checked<CrosstalkMatrix> crosstalk_matrix(
    const language::Plan& plan, const language::EquipmentRecord& references,
    const record::Observations& observations, std::size_t frequency);

// The frequencies of one key's touch compared. Needs three or more to name one.
struct KeyFrequencies {
    std::string key;
    std::vector<double> relative;  // normalised change over the mean of all
    OddOneOut compared;
};
// Keys that were touched and whose lines were fitted; empty with fewer than two frequencies.
[[nodiscard]] std::vector<KeyFrequencies> frequencies_compared(
    const language::Plan& plan, const language::EquipmentRecord& references,
    const record::Observations& observations, double significance = 0.01);

[[nodiscard]] std::string text_of(const CrosstalkMatrix& matrix);
// `kilohertz`: the frequencies' names, in order.
[[nodiscard]] std::string text_of(const KeyFrequencies& key,
                                  const std::vector<std::string>& kilohertz);

}  // namespace padtrim::metrology
