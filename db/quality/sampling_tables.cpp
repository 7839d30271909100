#include "db/quality/sampling_tables.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <set>

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

constexpr std::string_view letters = "ABCDEFGHJKLMNPQR";
constexpr std::array<std::uint64_t, 16> sizes = {2,  3,   5,   8,   13,  20,  32,   50,
                                                 80, 125, 200, 315, 500, 800, 1250, 2000};
// Above 10 % the standard counts nonconformities, not nonconforming units.
constexpr std::array<double, 16> limits = {0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25,
                                           0.40,  0.65,  1.0,   1.5,   2.5,   4.0,  6.5,  10.0};
constexpr std::array<std::string_view, 7> levels = {"S-1", "S-2", "S-3", "S-4", "I", "II", "III"};

struct LetterRow {
    std::uint64_t up_to;
    std::string_view letters;  // by level
};
constexpr std::array<LetterRow, 15> letter_rows = {{{8, "AAAAAAB"},
                                                    {15, "AAAAABC"},
                                                    {25, "AABBBCD"},
                                                    {50, "ABBCCDE"},
                                                    {90, "BBCCCEF"},
                                                    {150, "BBCDDFG"},
                                                    {280, "BCDEEGH"},
                                                    {500, "BCDEFHJ"},
                                                    {1200, "CCEFGJK"},
                                                    {3200, "CDEGHKL"},
                                                    {10'000, "CDFGJLM"},
                                                    {35'000, "CDFHKMN"},
                                                    {150'000, "DEGJLNP"},
                                                    {500'000, "DEGJMPQ"},
                                                    {UINT64_MAX, "DEHKNQR"}}};

// Along a letter's row, from the limit at which it accepts with none nonconforming. Between 0 and 1
// stand two arrows.
constexpr int up = -1, down = -2;
constexpr std::array<int, 12> normal_row = {0, up, down, 1, 2, 3, 5, 7, 10, 14, 21, up};
constexpr std::array<int, 12> tightened_row = {0, down, down, 1, 2, 3, 5, 8, 12, 18, up, up};

// The index of that limit: the larger the sample, the smaller it is. Tightened stands one limit
// further.
int zero_at(std::size_t letter, bool tightened) {
    return 14 - static_cast<int>(letter) + (tightened ? 1 : 0);
}

int cell(std::size_t letter, std::size_t limit, bool tightened) {
    const int along = static_cast<int>(limit) - zero_at(letter, tightened);
    if (along < 0) return down;
    const auto& row = tightened ? tightened_row : normal_row;
    return along < static_cast<int>(row.size()) ? row[static_cast<std::size_t>(along)] : up;
}

}  // namespace

std::string_view name_of(InspectionLevel level) {
    return levels[static_cast<std::size_t>(level)];
}

std::optional<InspectionLevel> inspection_level_of(std::string_view name) {
    const auto found = std::find(levels.begin(), levels.end(), name);
    if (found == levels.end()) return std::nullopt;
    return static_cast<InspectionLevel>(found - levels.begin());
}

std::span<const double> acceptance_quality_limits() {
    return limits;
}

Checked<char> code_letter(std::uint64_t lot, InspectionLevel level) {
    if (lot < 2) return Flaw::out_of_domain;
    const auto row = std::find_if(letter_rows.begin(), letter_rows.end(),
                                  [&](const LetterRow& each) { return lot <= each.up_to; });
    return row->letters[static_cast<std::size_t>(level)];
}

Checked<MasterPlan> master_plan(char letter, double quality_limit, Severity severity) {
    const auto row = letters.find(letter);
    const auto column = std::find_if(limits.begin(), limits.end(), [&](double each) {
        return std::abs(quality_limit - each) <= 1e-9 * each;
    });
    if (row == std::string_view::npos || column == limits.end() || severity == Severity::stopped)
        return Flaw::out_of_domain;
    const bool tightened = severity == Severity::tightened;
    const auto limit = static_cast<std::size_t>(column - limits.begin());
    std::size_t at = row;
    for (int found = cell(at, limit, tightened); found < 0; found = cell(at, limit, tightened)) {
        if (found == up ? at == 0 : at + 1 == letters.size()) return Flaw::out_of_domain;
        at = found == up ? at - 1 : at + 1;
    }
    return MasterPlan{letters[at],
                      {sizes[at], static_cast<std::uint64_t>(cell(at, limit, tightened))}};
}

std::vector<std::uint64_t> units_to_look_at(std::uint64_t lot, std::uint64_t sample,
                                            std::uint64_t seed) {
    std::mt19937_64 random(seed);
    std::set<std::uint64_t> chosen;
    for (std::uint64_t j = lot - std::min(sample, lot) + 1; j <= lot && lot > 0; ++j) {
        // Without the library's distribution, which differs from library to library.
        const std::uint64_t bound = UINT64_MAX - UINT64_MAX % j;
        std::uint64_t drawn = random();
        while (drawn >= bound) drawn = random();
        const std::uint64_t unit = drawn % j + 1;
        chosen.insert(chosen.count(unit) > 0 ? j : unit);
    }
    return {chosen.begin(), chosen.end()};
}

}  // namespace padtrim::quality
