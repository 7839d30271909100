#include "recipes/document/nearest.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <vector>

namespace padtrim::document {
namespace {

// A longer word is no typing error of a known one, and would only cost time.
constexpr std::size_t longest_word = 64;

std::string folded(std::string_view word) {
    std::string out;
    for (const char c : word) {
        if (c == ' ' || c == '-' || c == '_') continue;
        out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
    return out;
}

}  // namespace

std::size_t edits_between(std::string_view a, std::string_view b) {
    const std::size_t width = b.size() + 1;
    std::vector<std::size_t> before(width), above(width), row(width);
    for (std::size_t j = 0; j < width; ++j) above[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j < width; ++j) {
            const bool same = a[i - 1] == b[j - 1];
            row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + (same ? 0 : 1)});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
        }
        before.swap(above);
        above.swap(row);
    }
    return above[b.size()];
}

std::optional<std::string_view> nearest_word(std::string_view word,
                                             std::span<const std::string_view> known) {
    if (word.size() > longest_word) return std::nullopt;
    const std::string sought = folded(word);
    std::optional<std::string_view> best;
    std::size_t fewest = 0;
    for (const auto candidate : known) {
        const std::size_t edits = edits_between(sought, folded(candidate));
        if (edits > std::max<std::size_t>(2, candidate.size() / 3)) continue;
        // A word of two letters is two edits away from any other.
        if (edits >= candidate.size()) continue;
        if (best && edits >= fewest) continue;
        best = candidate;
        fewest = edits;
    }
    return best;
}

std::string listing(std::span<const std::string_view> words) {
    std::string out;
    for (const auto word : words) {
        if (!out.empty()) out += ", ";
        out += word;
    }
    return out;
}

std::string suggestion(std::string_view word, std::span<const std::string_view> known) {
    if (const auto near = nearest_word(word, known))
        return "Did you mean \"" + std::string(*near) + "\"?";
    if (known.empty()) return "Leave it out.";
    return "Known here: " + listing(known) + '.';
}

}  // namespace padtrim::document
