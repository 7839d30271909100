// "Did you mean": the known word that is nearest to one that is not known.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace padtrim::document {

// Edits (insert, delete, replace, exchange two neighbours) between two words: the optimal string
// alignment distance, from memory of Damerau 1964.
[[nodiscard]] std::size_t edits_between(std::string_view a, std::string_view b);

// The nearest word within a third of its length (at least two edits); the first of equals.
// Capitals, blanks, hyphens and underscores do not count as differences.
[[nodiscard]] std::optional<std::string_view> nearest_word(std::string_view word,
                                                           std::span<const std::string_view> known);

// "Did you mean X?", or "Known here: A, B, C." when nothing is near.
[[nodiscard]] std::string suggestion(std::string_view word,
                                     std::span<const std::string_view> known);

// "A, B, C".
[[nodiscard]] std::string listing(std::span<const std::string_view> words);

}  // namespace padtrim::document
